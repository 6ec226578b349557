"""Names are taken as people write them, and nothing else is."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.acts.names import LONGEST_NAME, checked_name
from ledger.errors import RefusedError
from ledger.log.encoding import canonical


@given(st.text(max_size=210))
def test_a_name_that_is_taken_can_be_committed_to(text: str) -> None:
    """Either it is refused, or it has canonical bytes, and no space around it."""
    try:
        name = checked_name(text)
    except RefusedError:
        return

    assert canonical({"v": name})
    assert name == name.strip() == text.strip()
    assert 0 < len(name) <= LONGEST_NAME


@pytest.mark.parametrize(
    "name",
    [
        'Oluwaseun "Seun" Adeyemi-Brandt',
        "Tadhg Mac Giolla",
        "O'Brien",
        "荒川 健二",
        "Æ",
    ],
)
def test_people_are_called_as_they_are_called(name: str) -> None:
    """Quotation marks, apostrophes, any script."""
    assert checked_name(f"\t{name} ") == name
