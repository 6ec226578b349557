"""Every paper, whatever it is: a file to keep, and to be read by a stranger."""

import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import pikepdf
import pytest

import labels
from labels.archive import PROFILE
from labels.faces import GETA
from tests import preflight
from tests.labels import reading
from tests.labels.crowds import CROWDS, HANDS, WOODS
from tests.labels.overlaps import off_the_sheet, overlaps
from tests.labels.papers import NAMED, PAPERS, UNKNOWN, drawn

MODULES = Path(labels.__file__).parent
# What makes a reader do something, or asks for something to be filled in.
ACTS = (
    b"JavaScript JS OpenAction AA Launch URI GoToR SubmitForm AcroForm Annots"
).split()
SUBSET = re.compile(r"/[A-Z]{6}\+Flitch(Text|TextCaps|Data|Mincho)-\w+")
PART = "7.11.2"  # the metadata say part 3, and the judge knows part 1 only
INSIDE = {"1.4.7", "1.2.9"}  # part 1 forbids what part 3 allows: files inside


@pytest.fixture(params=PAPERS)
def name(request: pytest.FixtureRequest) -> str:
    """Give the name of each paper in turn."""
    told: str = request.param
    return told


@pytest.fixture
def pdf(name: str) -> Iterator[pikepdf.Pdf]:
    """Give each paper in turn, taken apart."""
    with pikepdf.open(BytesIO(drawn(name))) as opened:
        yield opened


def test_no_paper_is_left_out() -> None:
    """Whatever lays out a sheet is in the list, and nobody closes one by himself."""
    sources = {path.stem: path.read_text() for path in MODULES.glob("*.py")}
    opens = {stem for stem, text in sources.items() if "open_document(" in text}
    closes = {stem for stem, text in sources.items() if "close_document(" in text}

    assert opens - {"page"} == {paper.module for paper in PAPERS.values()}
    assert closes == {"page", "archive", "plots"}


def test_every_letter_is_inside(pdf: pikepdf.Pdf) -> None:
    """Each font is of the house, embedded, and only the letters that are used."""
    fonts = [each for each in pdf.objects if _is(each, "/Font")]

    assert fonts
    for font in fonts:
        assert SUBSET.fullmatch(str(font.BaseFont)), font.BaseFont
        assert len(font.FontDescriptor.FontFile2.read_bytes()) > 0
        assert len(font.ToUnicode.read_bytes()) > 0


def test_colours_title_language_and_day_are_declared(
    name: str, pdf: pikepdf.Pdf
) -> None:
    """In the metadata alone; a paper that is of no day says none."""
    paper, (intent,) = PAPERS[name], pdf.Root.OutputIntents
    told = pdf.open_metadata()

    assert intent.S == pikepdf.Name.GTS_PDFA1
    assert intent.DestOutputProfile.read_bytes() == PROFILE.read_bytes()
    assert (told["pdfaid:part"], told["pdfaid:conformance"]) == ("3", "B")
    assert told["dc:title"] == paper.title
    assert dict(pdf.Root.ViewerPreferences.items()) == {"/DisplayDocTitle": True}
    assert pdf.Root.Lang == paper.language
    assert told["dc:language"] == {paper.language}
    for date in ("xmp:CreateDate", "xmp:ModifyDate"):
        assert told.get(date, "") == (f"{paper.day}T00:00:00Z" if paper.day else "")
    assert "/Info" not in pdf.trailer


def test_nothing_acts_by_itself(pdf: pikepdf.Pdf) -> None:
    """No script, no link, no form, and it opens as its reader likes it."""
    names = re.compile(rb"/(\w+)")
    found = {each for made in pdf.objects for each in names.findall(_written(made))}

    assert found & set(ACTS) == set()
    assert pdf.Root.get("/PageMode", "/UseNone") == "/UseNone"


def test_the_files_inside_are_those_that_are_meant(name: str, pdf: pikepdf.Pdf) -> None:
    """Each is whole, listed by name, and says how it bears on the paper."""
    specs = list(pdf.Root.get("/AF", []))

    assert tuple(str(spec.UF) for spec in specs) == PAPERS[name].files
    assert sorted(pdf.attachments) == sorted(PAPERS[name].files)
    for spec in specs:
        assert spec.AFRelationship in ("/Source", "/Supplement")
        inside = spec.EF.F
        assert inside.Params.Size == len(inside.read_bytes()) > 0


def test_its_contents_lead_where_they_say(name: str, pdf: pikepdf.Pdf) -> None:
    """A paper of several parts lists them in order; each leads to a leaf of it."""
    found = list(_entries(pdf))
    leaves = [_leaf(pdf, entry) for _, entry in found]

    assert tuple(words for words, _ in found) == PAPERS[name].outline
    assert leaves == sorted(leaves)
    assert leaves[:1] in ([], [0])
    assert leaves == [] or leaves[-1] > 0


def test_its_syntax_is_clean(pdf: pikepdf.Pdf) -> None:
    """A parser of other hands finds nothing to mend."""
    assert pdf.check_pdf_syntax() == []


def test_drawn_again_it_is_the_same(name: str) -> None:
    """Byte for byte, so that its digest can stand in the record."""
    assert PAPERS[name].draw() == drawn(name)


def test_names_of_many_houses_can_be_copied(name: str) -> None:
    """Every letter comes back as it was; one that no face has is marked, and told."""
    pages = range(reading.pages(drawn(name)))
    copied = "".join(reading.text(drawn(name), page) for page in pages)
    wanted = _close(NAMED).replace(UNKNOWN, GETA)
    (told,) = [each for each in PAPERS[name].notices() if f"U+{ord(UNKNOWN):X}" in each]

    assert wanted in _close(copied)
    assert told.endswith(f"printed as {GETA}")


def test_an_independent_judge_finds_fault_with_the_part_alone() -> None:
    """Preflight judges PDF/A-1b: it names the part, and files where some are inside."""
    judged = preflight.all_error_codes({name: drawn(name) for name in PAPERS})

    assert judged == {
        name: {PART} | (INSIDE if paper.files else set())
        for name, paper in PAPERS.items()
    }


@pytest.mark.parametrize("name", CROWDS)
def test_however_much_there_is_no_words_meet_or_leave_the_sheet(name: str) -> None:
    """Nor where there is nothing; papers with a test of their own are not here."""
    crowd = CROWDS[name]
    pdf = crowd.draw()

    for page in range(reading.pages(pdf)):
        assert overlaps(pdf, page) == []
        assert off_the_sheet(pdf, crowd.margin, page) == []


def test_nobody_and_no_wood_is_dropped_without_a_word() -> None:
    """Forty hands and fourteen woods are all there, or those left out are counted."""
    whole, card, tag = (
        _copied(CROWDS[name].draw())
        for name in ("certificate, long", "card, long", "tag")
    )
    may_sign = tag.partition("May sign")[2].partition("Then")[0]
    shown = len(re.findall(r"\d Associated", may_sign))

    assert all(f" {n} Associated" in whole for n in range(HANDS))
    assert all(f"L26-{n:03}-11.A" in whole for n in range(WOODS))
    assert f"and {WOODS - 2} more" in card
    assert 0 < shown < HANDS and f"and {HANDS - shown} more" in may_sign
    assert f"and {WOODS - tag.count('L26-004-')} more boards" in tag


def _copied(pdf: bytes) -> str:
    """Return the text of a whole paper, all spaces alike."""
    pages = range(reading.pages(pdf))
    return " ".join(" ".join(reading.text(pdf, page) for page in pages).split())


def _is(made: Any, kind: str) -> bool:
    return isinstance(made, pikepdf.Dictionary) and made.get("/Type") == kind


def _written(made: Any) -> bytes:
    """Return an object as it is written, of a stream its dictionary alone."""
    held = made.stream_dict if isinstance(made, pikepdf.Stream) else made
    return bytes(held.unparse(resolved=True))


def _entries(pdf: pikepdf.Pdf) -> Iterator[tuple[str, pikepdf.OutlineItem]]:
    """Yield each entry of the list of contents in order, sections behind a dash."""
    with pdf.open_outline() as outline:
        for part in outline.root:
            yield part.title, part
            for section in part.children:
                yield f"- {section.title}", section


def _leaf(pdf: pikepdf.Pdf, entry: pikepdf.OutlineItem) -> int:
    """Return the number of the leaf that an entry leads to, from nought."""
    assert isinstance(entry.destination, pikepdf.Array)
    return pdf.pages.index(pikepdf.Page(entry.destination[0]))


def _close(text: str) -> str:
    return "".join(text.split())
