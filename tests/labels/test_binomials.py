"""Scientific names in running text: found whole, over the end of a line too."""

from hypothesis import given
from hypothesis import strategies as st

from labels import faces
from labels.binomials import runs_of, write_named
from labels.page import A4, Style, close_document, measure, open_document, wrap
from tests.labels import overlaps, reading

BODY = Style(face=faces.TEXT, size=9.6)


def test_a_name_is_cut_out_of_its_sentence() -> None:
    """With the genus alone, and the abbreviation behind it upright."""
    assert runs_of(["No listing of Picea abies found; Dalbergia spp. are listed."]) == [
        [
            ("No listing of ", False),
            ("Picea abies", True),
            (" found; ", False),
            ("Dalbergia", True),
            (" spp. are listed.", False),
        ]
    ]


def test_a_name_runs_on_to_the_next_line() -> None:
    """Both halves of it are of the name."""
    assert runs_of(["wood of Diospyros", "crassiflora of Cameroon"]) == [
        [("wood of ", False), ("Diospyros", True)],
        [("crassiflora", True), (" of Cameroon", False)],
    ]


def test_a_name_that_no_table_has_is_told() -> None:
    """It is one of the paper's own rows; its first word alone means nothing."""
    said = ["Zelkova serrata is no name in the table, and Zelkova is none"]

    assert runs_of(said) == [[(said[0], False)]]
    assert runs_of(said, ["Zelkova serrata"])[0] == [
        ("Zelkova serrata", True),
        (" is no name in the table, and Zelkova is none", False),
    ]


@given(
    st.lists(st.sampled_from(["wood", "of", "Picea", "abies", "Acer", "Bos taurus"])),
    st.integers(20, 90),
)
def test_nothing_of_a_line_is_lost(words: list[str], within: int) -> None:
    """Wherever it is broken."""
    lines = wrap(" ".join(words), BODY, within)

    assert ["".join(text for text, _ in runs) for runs in runs_of(lines)] == lines


def test_a_name_is_set_in_italics_and_within_its_column() -> None:
    """Text and face, as the PDF has them."""
    page = open_document(A4, "names")
    (runs,) = runs_of(["No listing of Picea abies found"])
    free = measure("No listing of Picea abies found", BODY) * 0.9
    write_named(page, (20, 20), runs, BODY, within=free)
    page.canvas.showPage()
    pdf = close_document(page)

    assert " ".join(reading.text(pdf).split()) == "No listing of Picea abies found"
    assert max(each.right for each in overlaps.words(pdf)) <= 20 + free + 0.05
