"""The chain of custody: each wood's way, its papers, its gaps."""

from dataclasses import replace

import pytest

from labels import custody, picture
from labels.custody_facts import STAGES, Chain, Step, chain
from labels.species_page import Size
from labels.species_sheet import SHEETS
from ledger.errors import RefusedError
from tests.labels import looks, overlaps, reading
from tests.labels.consignments import (
    CONSIGNMENT,
    IMPRINT,
    SHIPMENTS,
    chains_of,
    custody_of,
    item,
)

PART = item("26-0147-3", "Picea abies", "top", 190_250, trade_name="European spruce")
WHOLE = tuple(
    Step(stage, f"known {stage}", "2026-01-05", "D26-0004 invoice", 41, "document")
    for stage in STAGES
)


def pages(chains: tuple[Chain, ...]) -> list[str]:
    """Return the text of every page, all spaces alike."""
    pdf = custody.draw(CONSIGNMENT, chains, IMPRINT)
    return [
        " ".join(reading.text(pdf, page=n).split()) for n in range(reading.pages(pdf))
    ]


@pytest.mark.parametrize("name", SHIPMENTS)
@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_no_words_run_into_others_or_off_the_type(name: str, size: Size) -> None:
    """However long the way, all letters stand apart and within the margins."""
    drawn_from = custody_of(name)
    pdf = custody.draw(*drawn_from, size=size)
    for page in range(reading.pages(pdf)):
        assert overlaps.overlaps(pdf, page) == []
        assert overlaps.outside(pdf, [SHEETS[size].sides], page) == []
        low = max(each.foot for each in overlaps.words(pdf, page))
        assert low < SHEETS[size].size[1] - 5
    assert custody.draw(*drawn_from, size=size) == pdf


def test_every_step_stands_with_its_paper_and_its_entry() -> None:
    """From where it grew to what it goes as, a line each."""
    (said,) = pages((chain(PART, WHOLE),))

    assert "Picea abies European spruce top, 26-0147-3" in said
    for stage, (name, _) in STAGES.items():
        line = f"{name} known {stage} 2026-01-05 D26-0004 invoice 41 by a paper"
        assert line in said, line


@pytest.mark.parametrize("stage", STAGES)
def test_a_stage_that_nobody_recorded_is_a_gap(stage: str) -> None:
    """It says so, says what to do, and is counted in the first line."""
    steps = tuple(step for step in WHOLE if step.stage != stage)
    chains = (chain(PART, steps),)
    (said,) = pages(chains)
    name, to_do = next(told for each, told in STAGES.items() if each == stage)

    assert f"{name} {to_do} not shown" in said
    assert custody.glance(chains)[0] == ("1", "gap to ask about")
    assert f"known {stage}" not in said


def test_what_nothing_shows_is_a_gap_even_where_it_is_said() -> None:
    """A country that nobody can show is printed, and counted."""
    steps = (WHOLE[0]._replace(shown="none"), *WHOLE[1:])
    chains = (chain(PART, steps),)
    (said,) = pages(chains)

    assert "known grew 2026-01-05 D26-0004 invoice 41 not shown" in said
    assert custody.glance(chains)[0] == ("1", "gap to ask about")


def test_a_way_by_papers_has_no_gap_and_no_nought() -> None:
    """Nothing found is said in words."""
    glance = custody.glance((chain(PART, WHOLE),))

    assert glance == (
        ("", "gaps: none found"),
        ("1", "part"),
        ("1", "species"),
        ("1", "by papers all the way"),
    )


def test_ways_without_one_outside_paper_lead_with_that() -> None:
    """Our own book has no gap, and that is no proof to others."""
    steps = tuple(replace_shown(step, "diary") for step in WHOLE)
    glance = custody.glance((chain(PART, steps),))

    assert glance == (
        ("1", "part, none shown by a paper"),
        ("", "gaps: none in our own book"),
        ("1", "species"),
    )
    gap = custody.glance((chain(PART, steps[1:]),))
    assert gap[:2] == (("1", "gap to ask about"), ("1", "part, none shown by a paper"))


def test_the_gaps_of_the_first_line_are_those_below() -> None:
    """Counted again in the text of all pages."""
    chains = chains_of(CONSIGNMENT)
    said = " ".join(pages(chains))
    (gaps, words), *_ = custody.glance(chains)

    assert f"{gaps} {words}" in said
    # The key of the squares says it once more.
    assert said.count("not shown") - said.count("a gap: not shown") == int(gaps)
    assert all(f"{each.part}, {each.thing}" in said for each in chains)


def test_each_way_of_showing_has_its_edge_and_its_word() -> None:
    """A solid, a hollow and a broken square, judged in black and white."""
    seen = {}
    for shown, words in (
        ("document", "by a paper"),
        ("diary", "by our own book"),
        ("witness", "by a word"),
        ("none", "not shown"),
    ):
        steps = (replace_shown(WHOLE[0], shown), *WHOLE[1:])
        pdf = custody.draw(CONSIGNMENT, (chain(PART, steps),), IMPRINT)
        image = picture.one_bit(pdf, page=0, dpi=254)
        top = next(each.top for each in overlaps.words(pdf) if each.text == "grew in")
        # The middle of the square, and its left edge from top to foot.
        y = round(top * 10 + 8)
        middle = image.getpixel((160 + 13, y + 6)) == 0
        edge = [image.getpixel((162, y + n)) == 0 for n in range(-4, 14)]
        seen[shown] = (middle, all(edge), any(edge))

        assert words in " ".join(reading.text(pdf).split())
    assert seen["document"] == (True, True, True)
    assert seen["diary"] == seen["witness"] == (False, True, True)
    assert seen["none"] == (False, False, True)


def replace_shown(step: Step, shown: str) -> Step:
    """Return a step that is shown otherwise."""
    return step._replace(shown=shown)  # type: ignore[arg-type]


def test_a_chain_of_nothing_is_refused() -> None:
    """It would say that there is no wood."""
    with pytest.raises(RefusedError, match="0 parts in the chain of custody"):
        custody.draw(CONSIGNMENT, (), IMPRINT)


def test_letters_that_no_face_has_are_noticed() -> None:
    """A sawyer's name in Hangul becomes geta marks, and is told."""
    steps = (WHOLE[0]._replace(said="김"), *WHOLE[1:])

    assert custody.notices(CONSIGNMENT, (chain(PART, WHOLE),), IMPRINT) == ()
    (said,) = custody.notices(CONSIGNMENT, (chain(PART, steps),), IMPRINT)
    assert "U+AE40" in said


def test_a_long_part_is_shortened_and_its_thing_is_whole() -> None:
    """Two chains of one thing are told apart by their steps."""
    long = replace(PART, part="back, sides, headplate and bindings " * 4)
    (said,) = pages((chain(long, WHOLE),))

    assert "…, 26-0147-3" in said


def test_bone_has_no_sawyer_and_no_board() -> None:
    """Its way is by the batch, and what is missing there is asked in its own words."""
    bone = item("26-0147-3", "Bos taurus", "nut", 9_000, kind="animal")
    (said,) = pages((chain(bone, ()),))

    assert "came from not known; ask in which country it was taken" in said
    assert "supplied by not known; nobody is on record as its supplier" in said
    assert "sawn by" not in said and "numbered as" not in said
    assert custody.glance((chain(bone, ()),))[0] == ("5", "gaps to ask about")


def test_the_first_page_looks_as_it_was_approved() -> None:
    """Each part's way, a step a line."""
    pdf = custody.draw(*custody_of("one"))
    assert looks.unlike(pdf, "custody") == ""
