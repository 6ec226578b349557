"""flitchbook lot: wood comes in once, from somebody, with its paper."""

import json
from pathlib import Path

import pytest

from tests.cli.bench import Bench

LISTS = Path(__file__).parents[1] / "vectors" / "packing"
LISTED = "lot receive --by 02 --supplier ferrante"
RECEIVE = "lot receive --by 02 --species 'Picea abies' --boards 3"


def test_a_lot_comes_in(bench: Bench) -> None:
    """It gets the next code, and the answer says that no paper is with it."""
    said = bench.does(f"{RECEIVE} --supplier ferrante --harvested-in italy")

    assert said == (
        "Lot L26-003: 3 boards of Picea abies.\n"
        "No paper is filed with it: its origin rests on this entry alone.\n"
    )
    assert bench.data("lot show L26-003") == {
        "lot": "L26-003",
        "species": "Picea abies",
        "boards": [],
        "papers": [],
        "harvested_in": "IT",
        "may_be_from": [],
        "plots": None,
        "struck": [],
    }


def test_a_country_where_it_does_not_grow_is_told(bench: Bench) -> None:
    """As it is where the country is named later; the evidence repeats it."""
    padauk = RECEIVE.replace("Picea abies", "Pterocarpus soyauxii")
    told = "growing in Africa, and not in the United Kingdom (GB): ask once more"
    received = f"{padauk} --supplier ferrante --harvested-in GB"

    assert f"note: the table has Pterocarpus soyauxii {told}" in bench.does(received)
    held = bench.does("lot evidence L26-003")
    assert told in held and "has to be asked" in held


def test_a_lot_shows_its_boards_and_where_they_went(bench: Bench) -> None:
    """Each with its measures, and the instrument or the rack."""
    shown = bench.does("lot show L26-001").splitlines()

    assert shown[:3] == [
        "L26-001: Picea abies, came in on 2026-01-05; 1 of 24 boards numbered",
        "papers: D26-0001",
        "harvested in Italy (IT)  (entry 20)",
    ]
    assert " ".join(shown[3].split()) == (
        "L26-001-01.A top 559 mm × 203 mm × 4.2 mm 205 g 26-0001-8"
    )


def test_a_delivery_without_a_list_is_counted_and_numbered(bench: Bench) -> None:
    """Looked at first if somebody wants to; then every half has a code to label."""
    sets = f"{RECEIVE} --supplier ferrante --set --for top --size '559 x 203 x 4.2 mm'"
    size = bench.data("shop show")["size"]
    seen = bench.does(f"{sets} --dry-run")

    assert seen == (
        "would receive 3 sets of Picea abies, 6 pieces to label\n"
        "Nothing was recorded.\n"
    )
    assert bench.data("shop show")["size"] == size
    assert bench.does(sets) == (
        "Lot L26-003: 3 sets of Picea abies, 6 pieces to label, L26-003-01.A to "
        "L26-003-03.B.\n"
        "No paper is filed with it: its origin rests on this entry alone.\n"
        "Label them: flitchbook label board L26-003 --out labels.pdf\n"
    )
    assert bench.data("board show L26-003-03.B")["thickness_um"] == 4200


def test_old_stock_comes_in_under_the_code_it_bears(bench: Bench) -> None:
    """It needs no sawyer, but it says how its origin is known."""
    told = bench.data(f"{RECEIVE} --opening --evidence diary --code L19-007")

    assert told == {"lot": "L19-007", "boards": 3, "codes": []}


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("", "give --supplier, or --opening"),
        ("--supplier nobody", "enter one with flitchbook supplier record"),
        ("--supplier ''  --opening", "give --evidence invoice"),
        ("--supplier ferrante --document D26-0001", "already; if this is another"),
        ("--supplier ferrante --document D26-0099", "flitchbook document file"),
        ("--supplier ferrante --document L26-001", "write it like D26-0001"),
        ("--supplier ferrante --received 24.12.2025", "no day such as 2026-11-21"),
        ("--supplier ferrante --received 2026-01-06", "is still to come"),
        (
            "--supplier ferrante --received 1026-01-01",
            "is before 1900, and no stock is",
        ),
        ("--opening --evidence none --received 1899-12-31", "look at the year again"),
        ("--supplier ferrante --harvested-in ZZ", "'ZZ' is no country: write"),
        ("--supplier ferrante --harvested-in EU", "not for the Union: name each"),
        ("--supplier ferrante --set", "say what they are for with --for"),
        ("--supplier ferrante --column a=b", "--column says something of a list"),
        ("--supplier ferrante --by-species", "--by-species says something of a list"),
        ("--supplier ferrante --for top --size 5x2x1", "has no unit at its end"),
        ("--supplier ferrante --form ''", "the form has 1 to 200 characters"),
        ("--supplier ferrante --boards 0", "at least one board, not 0"),
        ("--supplier ferrante --boards 1000", "receive them as several lots"),
        (
            "--supplier ferrante --species spruce",
            "'spruce' is a name of the trade that may mean Picea abies",
        ),
        ("--opening --evidence none --code L26-001", "leave the code out"),
        ("--opening --evidence none --code 31", "write it like L26-031"),
    ],
)
def test_a_lot_that_makes_no_sense_is_refused(
    bench: Bench, rest: str, why: str
) -> None:
    """The sentence says what to give instead."""
    bench.refuses(f"{RECEIVE} {rest}", why)


@pytest.mark.parametrize(
    ("code", "why"),
    [
        ("L26-099", "there is no lot L26-099: look at the label again, or receive"),
        ("スプルース", "is not the code of a lot; write it like L26-031"),
        ("L26-001-01", "is not the code of a lot"),
        ("HTTPS://SKERRYMOOR.EXAMPLE/L/L26-001X", "scan or type it again"),
        ("HTTPS://OTHER.EXAMPLE/L/L26-0010", "that label is of other.example"),
    ],
)
def test_a_lot_that_is_not_there_is_not_shown(
    bench: Bench, code: str, why: str
) -> None:
    """Never received, mistyped, misread, or another shop's."""
    bench.refuses(f"lot show {code}", why)


def test_monday_s_delivery_comes_in_from_its_list(bench: Bench) -> None:
    """Looked at first, then received, numbered, filed and ready to be labelled."""
    path = LISTS / "valdesund.csv"
    seen = bench.does(f"{LISTED} --list {path} --dry-run")

    assert seen.startswith("All rows can be read:\n")
    assert "  Länge (mm): length in mm\n" in seen
    assert "would receive 24 sets of Picea abies, 48 pieces to label\n" in seen
    assert seen.endswith("Nothing was recorded.\n")
    told = bench.does(f"{LISTED} --list {path} --harvested-in NO")
    assert told.startswith(
        "Lot L26-003: 24 sets of Picea abies, 48 pieces to label, L26-003-01.A to "
        "L26-003-24.B.\n"
    )
    assert "The list is on file as D26-0002.\n" in told
    shown = bench.data("lot show L26-003")
    assert (len(shown["boards"]), shown["papers"]) == (48, ["D26-0002"])
    bench.refuses(f"{LISTED} --list {path}", "came in before, as D26-0002")


def test_columns_and_units_that_a_list_leaves_open_are_told(bench: Bench) -> None:
    """A header nobody knows, and numbers without a unit."""
    bench.file("list.csv", "Nr;Ende zu Ende;B;D;Holz\n1;559;203;4,2;Picea abies\n")
    column = "--column 'length=Ende zu Ende' --column width=B --column thickness=D"
    bench.refuses(f"{LISTED} --list list.csv {column} --for top", "--unit length=mm")
    units = "--unit length=mm --unit width=mm --unit thickness=mm"
    told = bench.data(f"{LISTED} --list list.csv {column} {units} --for top")

    assert told["lots"] == {"L26-003": ["L26-003-01"]}
    assert bench.data("lot show L26-003")["species"] == "Picea abies"


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("--list none.csv", "there is no file none.csv: look at its name"),
        ("--list shop", "shop is a folder: name a file in it"),
        ("--list pins", "list"),
        ("", "say what came: --species and --boards, or the sawyer's packing list"),
        ("--list {lists}/odd-number-of-halves.csv", "nothing was received, for 1 row"),
        ("--list {lists}/nambiar.csv --for back", "give --by-species"),
        ("--list {lists}/valdesund.csv --column Länge", "needs two sides"),
        (
            "--list {lists}/valdesund.csv --boards 23",
            "24 boards or sets and you counted",
        ),
        (
            "--list {lists}/valdesund.csv --set",
            "--set is for a delivery without a list",
        ),
    ],
)
def test_a_list_that_cannot_come_in_is_refused(
    bench: Bench, rest: str, why: str
) -> None:
    """Whole, in one sentence that says what to do."""
    bench.refuses(f"{LISTED} {rest.format(lists=LISTS)}", why)


def test_a_dry_run_names_each_bad_row(bench: Bench) -> None:
    """With its line and its reason; nothing is recorded, and the exit says no."""
    path = LISTS / "nonsense-in-every-column.csv"
    said = bench.run(f"{LISTED} --list {path} --dry-run")

    assert said.code == 1
    assert "cannot be read:" in said.out.splitlines()[0]
    assert "  line 2: column " in said.out
    assert said.out.endswith("Nothing was recorded.\n")


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("--by 02", "would be refused: a lot comes from somebody: give --supplier"),
        ("--by 02 --supplier ferrante --document D26-0099", "flitchbook document file"),
        ("--by 03 --supplier ferrante", "would be refused: filing a paper needs"),
    ],
)
def test_a_dry_run_says_what_would_be_refused(
    bench: Bench, rest: str, why: str
) -> None:
    """After how the list was understood, without a PIN; and nothing is recorded."""
    path = LISTS / "valdesund.csv"
    bench.file("pins", "")
    before = bench.all_that_is_kept()
    said = bench.run(f"lot receive {rest} --list {path} --dry-run")

    assert (said.code, said.err) == (1, "")
    assert "  Länge (mm): length in mm\n" in said.out
    assert why in said.out
    assert said.out.endswith("Nothing was recorded.\n")
    assert bench.all_that_is_kept() == before


def test_a_dry_run_says_that_the_list_came_in_before(bench: Bench) -> None:
    """It is asked of the ledger, as on the day itself."""
    path = LISTS / "valdesund.csv"
    bench.does(f"{LISTED} --list {path}")
    said = bench.run(f"{LISTED} --list {path} --dry-run --json")

    assert said.code == 1
    assert "came in before, as D26-0002" in json.loads(said.out)["refusal"]


def test_a_listed_mass_is_the_sawyer_s_word_until_it_is_weighed(bench: Bench) -> None:
    """One board came, so one code is told; its list gave a mass."""
    bench.file(
        "one.csv",
        "Species,Qty,Length (mm),Width (mm),Thickness (mm),Mass\n"
        "Picea abies,1 board,559,203,4.2,206 g\n",
    )
    told = bench.does(f"{LISTED} --list one.csv --for top")
    before = bench.does("lot show L26-003").splitlines()[-1]
    bench.does("board weigh L26-003-01 '205 g' --by 02")
    after = bench.does("lot show L26-003").splitlines()[-1]

    assert told.startswith(
        "Lot L26-003: 1 board of Picea abies, 1 piece to label, L26-003-01.\n"
    )
    assert "not weighed, listed 206 g in the rack" in " ".join(before.split())
    assert "mm 205 g in the rack" in " ".join(after.split())


@pytest.mark.parametrize(
    ("species", "why"),
    [
        ("Acer", "'Acer' is a genus: write the species too, or 'Acer spp.' where"),
        ("dalbergia", "'dalbergia' is a genus: write the species too"),
        ("rosewood", "'rosewood' is a name of the trade that may mean Dalbergia spp."),
        ("Indian rosewood", "is a name of the trade that may mean Dalbergia latifolia"),
        ("12 kg", "'12 kg' is no scientific name of genus and species"),
        ("Fooia", "'Fooia' is no scientific name of genus and species"),
    ],
)
def test_wood_without_a_scientific_name_is_refused(
    bench: Bench, species: str, why: str
) -> None:
    """And what can be given instead is named."""
    lot = "lot receive --boards 2 --supplier Ferrante --by 02"

    bench.refuses(f"{lot} --species '{species}'", why)


def test_a_genus_comes_in_where_nobody_knows_more(bench: Bench) -> None:
    """It says so itself."""
    lot = "lot receive --boards 2 --supplier Ferrante --by 02 --species 'Acer spp.'"

    assert "2 boards of Acer spp." in bench.does(lot)


def test_a_misspelt_name_is_offered_the_near_ones(bench: Bench) -> None:
    """It comes in as it was written, for the table may not know it; a dry run tells."""
    command = RECEIVE.replace("Picea abies", "Picea abeis") + " --supplier ferrante"
    note = "note: Picea abeis is in no table here: is Picea abies or "
    dry = bench.does(f"{command} --dry-run")
    said = bench.does(command)

    assert note in dry and note in said
    assert "note" not in bench.does(f"{RECEIVE} --supplier ferrante")


def test_old_stock_of_the_twenties_comes_in(bench: Bench) -> None:
    """And of the first day that is asked about no more."""
    told = bench.data(
        f"{RECEIVE} --opening --evidence diary --received 1900-01-01 --code L20-001"
    )

    assert told["lot"] == "L20-001"
