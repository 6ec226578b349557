"""flitchbook board split, join: typed as it is spoken at the saw, and balanced."""

from pathlib import Path

import pytest

from tests.cli.bench import Bench
from tests.cli.onward import onward

SET = "L26-003-01"
SPLIT = f"board split {SET} --by 03 --waste '64 g'"
PLATES = "--piece 'plates=690 g'"
HEADPLATE = "--piece 'headplate=54g: 210x90x3.2mm'"
STRIPS = "--offcut 'bridge strip=3 x 20 g'"
WHY = "--reason 'one fell behind the bench'"


@pytest.fixture
def saw(bench: Bench, kept: Path) -> Bench:
    """Give a bench with a rosewood back set of 869 g and a neck blank."""
    return onward(bench, kept / "saw", _lay_on_the_saw)


def _lay_on_the_saw(bench: Bench) -> None:
    bench.does(
        "lot receive --by 02 --species 'Dalbergia latifolia' --boards 1 "
        "--supplier ferrante --harvested-in IN"
    )
    bench.does(
        "board number L26-003 --by 02 --for back --length '559 mm' --width '216 mm' "
        "--thickness '4 mm' --mass '434 g' --mass '435 g'"
    )
    bench.does(
        "board number L26-002 --by 02 --for neck --length '810 mm' --width '95 mm' "
        "--thickness '24 mm' --mass '820 g'"
    )


def plain(text: str) -> str:
    """Return an answer with its thin spaces made plain."""
    return text.replace("\u2009", " ")


def test_a_set_is_sawn_and_its_mass_found_again(saw: Bench) -> None:
    """The new codes with their masses, the balance, and what to do next."""
    said = saw.does(f"{SPLIT} {PLATES} {HEADPLATE} {STRIPS}")

    codes = [f"{SET}.C{n}" for n in range(1, 6)]
    assert plain(said).splitlines() == [
        f"{codes[0]}  plates  690 g",
        f"{codes[1]}  headplate  54 g",
        f"{codes[2]}  offcut for bridge strip  20 g",
        f"{codes[3]}  offcut for bridge strip  20 g",
        f"{codes[4]}  offcut for bridge strip  20 g",
        "board 869 g = pieces 804 g + waste 64 g + unaccounted 1 g, kerf among it",
        "Pencil the codes first, then label them: flitchbook label board "
        f"{' '.join(codes)} --out labels.pdf",
    ]
    assert "90 mm × 3.2 mm  54 g" in plain(saw.does("lot show L26-003"))
    advice = said.splitlines()[-1].partition("flitchbook ")[2]
    assert saw.run(f"{advice} --by 02").out == "labels.pdf: 5 labels. Print at 100 %.\n"


def test_a_headplate_ten_times_too_heavy_is_pointed_at(saw: Bench) -> None:
    """Both sums, the difference, and the figure that would set it right."""
    typed = "--piece 'headplate=540 g'"
    saw.refuses(
        f"{SPLIT} {PLATES} {typed} {STRIPS}", "look at headplate 540\u2009g: 54"
    )


def test_the_saw_s_share_is_worked_out_or_weighed(saw: Bench) -> None:
    """Two rips of 1.2 mm through 216 mm, or the dust on the scale."""
    told = saw.data(
        f"board split {SET}.A --by 03 --piece 'a=420 g' --kerf 1.2mm --cuts 2"
    )
    weighed = saw.data(f"board split {SET}.B --by 03 --piece b=425g --dust '9.5 g'")

    assert told == {
        "boards": [f"{SET}.C1"],
        "mass_mg": 434_000,
        "pieces_mg": 420_000,
        "dust_mg": 4_822,
        "waste_mg": None,
        "unaccounted_mg": 9_178,
    }
    assert (weighed["dust_mg"], weighed["unaccounted_mg"]) == (9_500, 500)


def test_a_resaw_divides_the_thickness(saw: Bench) -> None:
    """A neck blank of 24 mm loses a twentieth to one cut of 1.2 mm."""
    said = saw.does(
        "board split L26-002-02 --by 03 --piece 'lamination=2 x 385 g' --kerf 1.2mm "
        "--cuts 1 --way resaw"
    )

    assert (
        "board 820 g = pieces 770 g + kerf 41 g + unaccounted 9 g, waste among it\n"
    ) in plain(said)


def test_what_nobody_weighed_is_not_nought(saw: Bench) -> None:
    """Dust and waste that were not given are none; given as nought they are 0 g."""
    unsaid = plain(saw.does(f"board split {SET}.A --by 03 --piece 'a=430 g'"))
    told = saw.data(
        f"board split {SET}.B --by 03 --piece 'b=430 g' --waste '0 g' --dust '0 g'"
    )

    assert "board 434 g = pieces 430 g + unaccounted 4 g, kerf and waste among it" in (
        unsaid
    )
    assert (told["dust_mg"], told["waste_mg"], told["unaccounted_mg"]) == (0, 0, 5_000)


def test_a_board_weighed_just_before_counts_as_it_weighs_now(saw: Bench) -> None:
    """Wood dries in the rack; what is missing needs a reason."""
    part = f"board split {SET} --by 03 --piece 'plates=690 g'"
    saw.refuses(f"{part} --mass '430 g'", "give one mass for each of")
    saw.refuses(f"{part} --mass '430 g' --mass '429 g'", "are missing")
    told = saw.data(f"{part} --mass '430 g' --mass '429 g' {WHY}")

    assert (told["mass_mg"], told["unaccounted_mg"]) == (859_000, 169_000)


def test_a_neck_is_glued_of_two_lots(saw: Bench) -> None:
    """It is of both, and so are its papers."""
    saw.does(f"board split {SET} --by 03 --piece 'core=800 g' --waste '60 g'")
    said = saw.does(
        f"board join L26-002-02 {SET}.C1 --by 03 --for neck --mass '1.61 kg' "
        "--length '810 mm' --width '95 mm'"
    )

    assert plain(said).splitlines()[0] == (
        "L26-002-02.C1  neck  1610 g, of lots L26-002 and L26-003"
    )
    traced = saw.does("trace L26-002-02.C1")
    assert "L26-003  Dalbergia latifolia" in traced
    assert "neck, in the rack" in saw.does("trace L26-003")


def test_two_halves_are_glued_by_the_set_s_code(saw: Bench) -> None:
    """As data for a program too."""
    told = saw.data(
        f"board join {SET} --by 03 --for back --mass '800 g' --weighed '430 g' "
        f"--weighed '431 g' {WHY}"
    )

    assert told == {"board": f"{SET}.C1", "lots": ["L26-003"]}


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("", "name at least one piece"),
        ("--piece plates", "piece 'plates': it needs a use and a mass"),
        ("--piece '=690 g'", "piece '=690 g': it needs a use and a mass"),
        ("--piece 'plates=690'", "690 has no unit: write 690 g or 690 oz"),
        ("--piece 'plates=690 mm'", "'690 mm' is not a mass"),
        ("--piece 'plates=690 g: 550x210'", "'550x210' is not length, width and thick"),
        ("--piece 'plates=690 g: 550x210x4'", "'550x210x4' has no unit at its end"),
        ("--piece 'plates=690 g: 550 g x 210 x 4 mm'", "'550 g' is not a length"),
        ("--piece 'a=0 x 3 g'", "is not a mass"),
        ("--piece a --offcut b --piece 'c=3 g'", "mass, such as 'headplate=54 g'; pie"),
        (f"{PLATES} --kerf 1.2mm", "give --kerf with the number of --cuts"),
        (f"{PLATES} --cuts 2", "give --kerf with the number of --cuts"),
        (f"{PLATES} --kerf 1.2mm --cuts 2 --dust '1 g'", "or the sawdust's mass"),
        (f"{PLATES} --kerf 1.2mm --cuts -2", "at least one cut, not -2"),
        (f"{PLATES} --waste '300 g'", "121\u2009g too much"),
        (f"{PLATES} --waste 64", "64 has no unit: write 64 g or 64 oz"),
        (f"{PLATES} --waste '1 g'", "name the waste, or give a reason"),
        ("--piece 'x=1 g: 10x10x0.1mm' --reason x", "Dalbergia latifolia has"),
        (f"{PLATES} --reason ''", "the reason has 1 to 200 characters"),
    ],
)
def test_a_split_that_makes_no_sense_is_refused(
    saw: Bench, rest: str, why: str
) -> None:
    """Every bad piece is named, with how to write it."""
    saw.refuses(f"{SPLIT} {rest}", why)


@pytest.mark.parametrize(
    ("command", "why"),
    [
        ("split L26-001-01 --piece 'a=1 g'", "allotted to 26-0001-8 as its top: rel"),
        ("split L26-009-01 --piece 'a=1 g'", "there is no board L26-009-01"),
        ("split L26-003 --piece 'a=1 g'", "is not the code of a board"),
        ("join L26-002-02 --for x --mass '820 g'", "alone is glued to nothing"),
        (f"join {SET} L26-002-01 --for x --mass '1 g'", "is allotted to 26-0001-8"),
        (f"join {SET} --for x --mass '960 g'", "91\u2009g more, where 26.07\u2009g (3"),
        (f"join {SET} --for x --mass '800 g'", "69\u2009g less"),
        (f"join {SET} --for x --mass '800 mm'", "'800 mm' is not a mass"),
        (f"join {SET} --for '' --mass '869 g'", "the use of a piece has 1 to 60"),
        (f"join {SET} --for x --mass '869 g' --width 3", "3 has no unit: write 3 mm"),
    ],
)
def test_what_is_not_there_to_be_worked_is_refused(
    saw: Bench, command: str, why: str
) -> None:
    """It says which board, and what to do first."""
    saw.refuses(f"board {command} --by 03", why)


def test_whoever_keeps_the_papers_saws_nothing(saw: Bench) -> None:
    """The saw is for the bench, for whoever receives, and for the lead."""
    saw.refuses(f"{SPLIT} {PLATES} {WHY} --by 12", "sawing a board needs")
