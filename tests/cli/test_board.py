"""flitchbook board: a code and measures, each with its unit."""

from pathlib import Path

import pytest
from PIL import Image

from tests.cli.bench import Bench

NUMBER = (
    "board number L26-001 --by 02 --for top --length '559 mm' --width '203 mm' "
    "--thickness '4.2 mm'"
)
ONE = f"{NUMBER} --mass '205 g'"
HALF = "L26-001-01.A"
WEIGH = f"board weigh {HALF} --by 02"
MEASURE = f"board measure {HALF} --by 02"
THIN = "\u2009"


def photograph(folder: Path) -> str:
    """Make a photograph of end grain."""
    Image.new("RGB", (64, 48), (180, 140, 90)).save(folder / "end.jpg")
    return f"board photograph {HALF} end.jpg --by 02 --face end-grain"


def test_a_set_of_two_halves_gets_one_number(bench: Bench) -> None:
    """Two masses make two halves, and so does a set that nobody has weighed."""
    said = bench.does(f"{ONE} --mass '207 g'")
    marked = bench.data(f"{NUMBER} --set --mark 'Nr. 7' --supplier-grade AAA")

    assert said == (
        "L26-001-02.A and L26-001-02.B: pencil the codes, then label them.\n"
    )
    assert marked == {"boards": ["L26-001-03.A", "L26-001-03.B"]}
    assert bench.data(ONE) == {"boards": ["L26-001-04"]}
    assert "not weighed" in bench.does("lot show L26-001")


def test_a_delivery_without_a_list_is_numbered_in_one_go(bench: Bench) -> None:
    """As many alike as there are, and of many codes the first and the last are told."""
    said = bench.does(f"{NUMBER} --set --alike 3")

    assert said == (
        "6 pieces, L26-001-02.A to L26-001-04.B: pencil the codes, then label them.\n"
    )
    bench.refuses(
        f"{NUMBER} --alike 21", "4 are numbered and 21 more would be too many"
    )
    assert bench.run(f"{NUMBER} --alike 0").code == 2


def test_measures_are_read_back(bench: Bench) -> None:
    """What was typed is what is told, with its unit."""
    said = bench.does(f"board measure {HALF} --length 558mm --moisture 7,8% --by 02")

    assert said.replace("\u2009", " ").startswith(
        f"{HALF}: 558 mm long; moisture 7.8 %; "
    )


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("--length 559", "559 has no unit: write 559 mm or 559 in"),
        ("--length '559 g'", "'559 g' is not a length"),
        ("--length '-559 mm'", "is below zero"),
        ("--length '0 mm'", "all above nothing"),
        ("--length '9e9 mm'", "is not a length"),
        ("--width '99999999999999999999 m'", "look at the unit"),
        ("--mass '205 mm'", "'205 mm' is not a mass; write it like 54 g"),
        ("--mass '1 g' --mass '2 g'", "two for its halves, not 3"),
        ("--set", "two for its halves, not 1"),
        ("--for ''", "the use of a board has 1 to 60 characters"),
        ("--for 'to\u202ep'", "U+202E"),
        ("--mark ''", "the sawyer's mark has 1 to 200 characters"),
        ("--mass '1 g'", "L26-001-02.B would have 2\u2009kg/m³"),
        (
            "--length '22 mm' --width '8 mm' --thickness '0.165 mm'",
            "the sizes look like inches typed as millimetres",
        ),
    ],
)
def test_a_measure_that_makes_no_sense_is_refused(
    bench: Bench, rest: str, why: str
) -> None:
    """Wrong units, no unit, nothing at all, and a density that no spruce has."""
    bench.refuses(f"{ONE} {rest}", why)


@pytest.mark.parametrize(
    ("lot", "why"),
    [
        ("L26-099", "there is no lot L26-099: look at the label again"),
        ("L26-001-04", "is not the code of a lot"),
        ("HTTPS://OTHER.EXAMPLE/L/L26-0010", "type the code alone if it is yours"),
    ],
)
def test_a_board_belongs_to_a_lot_of_this_shop(
    bench: Bench, lot: str, why: str
) -> None:
    """A lot that came in, and no other."""
    bench.refuses(ONE.replace("L26-001", lot), why)


def test_a_board_on_the_scale_tells_its_density(bench: Bench) -> None:
    """In the words of the bench, and in numbers for a program."""
    said = bench.does(f"{WEIGH} '206 g' --scale 'bench 2'").replace(THIN, " ")
    told = bench.data(f"{WEIGH} '280 g' --as-read")

    assert said.startswith(f"{HALF}: 206 g, 432 kg/m³: normal for Picea abies, entry ")
    assert told["mass_mg"] == 280_000
    assert told["density_gram_per_m3"] == 587_491


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (f"{WEIGH} 206", "206 has no unit: write 206 g or 206 oz"),
        (f"{WEIGH} '2060 g'", "weighed 205\u2009g last"),
        (f"{WEIGH} '0 g'", "is no mass"),
        ("board weigh L26-001-01 '412 g' --by 02", "is a set: scan the half"),
        ("board weigh L26-001-09 '412 g' --by 02", "there is no board L26-001-09"),
        ("board weigh L26-001 '412 g' --by 02", "the code of a board but of a lot"),
        (f"board weigh {HALF} '206 g' --by 12", "weighing a board needs"),
        (MEASURE, "nothing was measured"),
        (f"{MEASURE} --length '22 mm'", "inches typed as millimetres"),
        (f"{MEASURE} --length '22 g'", "is not a length"),
        (f"{MEASURE} --moisture '78 %'", "above 30\u2009% wood is green"),
        (f"{MEASURE} --moisture 7.8", "7.8 has no unit: write 7.8 %"),
        (f"board move {HALF} --to '' --by 02", "the place has 1 to 200 characters"),
        ("board move L26-099 --to crib --by 02", "there is no lot L26-099: look at"),
        (f"board photograph {HALF} pins --by 02", "is no picture"),
        (f"board photograph {HALF} none.jpg --by 02", "there is no file none.jpg"),
        (f"board photograph {HALF} shop --by 02", "there is no file shop"),
    ],
)
def test_a_slip_is_refused_in_one_sentence(
    bench: Bench, command: str, why: str
) -> None:
    """Nothing is recorded, and no file is kept."""
    bench.refuses(command, why)


def test_thickness_is_the_mean_of_its_points(bench: Bench) -> None:
    """Each point is kept in the entry; what is not given stands."""
    points = "--thickness '4.1 mm' --thickness '4.2 mm' --thickness '4.15 mm'"
    said = bench.does(f"{MEASURE} {points}").replace(THIN, " ")
    told = bench.data(f"{MEASURE} --moisture '7.8 %' --meter 'pin meter 1'")

    assert "4.15 mm thick, the mean of 3 points; 435 kg/m³: normal for" in said
    assert (told["thickness_um"], told["density_gram_per_m3"]) == (4_150, 435_309)


def test_boards_are_put_in_their_place(bench: Bench) -> None:
    """A set moves both its halves."""
    said = bench.does("board move L26-001-01 --to 'bench 3' --by 02")

    assert said == "L26-001-01.A and L26-001-01.B: bench 3, entries 33 to 34.\n"
    assert "bench 3" in bench.does(f"board show {HALF}")


def test_a_photograph_is_filed(bench: Bench) -> None:
    """Its digest is told, and the file lies under it."""
    told = bench.data(photograph(bench.folder))

    assert told["boards"] == [HALF]
    kept = bench.folder / "shop" / "attachments" / told["sha256"]
    assert kept.read_bytes() == (bench.folder / "end.jpg").read_bytes()


def test_a_photograph_that_may_not_be_filed_is_not_kept(bench: Bench) -> None:
    """Nor one that is cut off."""
    command = photograph(bench.folder)
    bench.refuses(command.replace("--by 02", "--by 12"), "photographing a board needs")
    whole = (bench.folder / "end.jpg").read_bytes()
    bench.file("end.jpg", whole[:-40])

    bench.refuses(command, "is cut off or damaged: copy it again")
