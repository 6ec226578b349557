"""The words that lead to the page that checks."""

from labels import to_check
from labels.tongue import tongue


def test_they_name_all_three_answers_and_need_no_network() -> None:
    """In English as they are, and in French in its own words."""
    said = to_check.words(tongue("en"))

    assert "no network" in said and said.endswith("YES; YES, BUT; NO; or CANNOT TELL.")
    assert to_check.words(tongue("fr")) != said
