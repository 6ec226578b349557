"""flitchbook lot plots: a lot's plots go on file once, and come out as one GeoJSON."""

import hashlib
import json

import pytest

from cli import lot_plots
from tests.cli.bench import Bench

UPPER = (
    "[[[11.612301,46.287701],[11.618851,46.287911],[11.619021,46.291233],"
    "[11.612555,46.290871],[11.612301,46.287701]]]"
)
POINT = '{"type":"Point","coordinates":[11.600123,46.300127]}'
PLOTS = (
    '{"type":"FeatureCollection","features":['
    f'{{"type":"Feature","properties":{{"name":"高原"}},"geometry":'
    f'{{"type":"Polygon","coordinates":{UPPER}}}}},'
    f'{{"type":"Feature","properties":null,"geometry":{POINT}}}]}}'
)
DAYS = "--harvested-from 2025-01-07 --harvested-to 2025-02-14"
FILE = f"lot plots L26-001 plots.geojson {DAYS} --by 02"


@pytest.fixture
def mapped(bench: Bench) -> Bench:
    """Give a bench with plots on it that were drawn at a desk."""
    bench.file("plots.geojson", PLOTS)
    return bench


def test_plots_are_filed_and_shown(mapped: Bench) -> None:
    """The paper's code, how many, how large, and where, to be looked at."""
    told = " ".join(mapped.does(FILE).split())
    shown = mapped.data("lot plots L26-001")["lots"]

    assert told.startswith("D26-0002: 2 plots of L26-001, on file (entry ")
    assert "plot 1: 18.00 ha, around 46.29° N, 11.62° E" in told
    assert "plot 2: a point" in told
    assert "note: 1 plot is a point: that will do up to 4 ha" in told
    assert [(one["number"], one["document"]) for one in shown] == [(2, "D26-0002")]
    assert shown[0]["harvested_from"] == "2025-01-07"


HUGE = UPPER.replace("11.618851,46.287911", "14.618851,46.287911").replace(
    "11.619021,46.291233", "14.619021,49.291233"
)
SPIKE = UPPER.replace("11.619021,46.291233", "17.619021,46.291233")
SPECK = (
    "[[[11.612301,46.287701],[11.612321,46.287701],[11.612321,46.287711],"
    "[11.612301,46.287701]]]"
)


@pytest.mark.parametrize(
    ("outline", "why"),
    [
        (HUGE, " ha) is larger than 10000 ha, and a lot hardly grew on so much land: "),
        (SPIKE, "plot 1 (461.4 km) is wider than 50 km"),
        (SPECK, "plot 1 (0.854 m²) is smaller than 100 m²"),
    ],
)
def test_a_plot_that_can_hardly_be_is_asked_about(
    mapped: Bench, outline: str, why: str
) -> None:
    """It is refused with its size and what to do, and taken where it is so."""
    mapped.file("plots.geojson", PLOTS.replace(UPPER, outline))
    mapped.refuses(FILE, why)
    mapped.refuses(FILE, ", or say that it is so with --as-read")
    told = mapped.does(f"{FILE} --as-read")
    shown = mapped.does("lot plots L26-001")
    (data,) = mapped.data("lot plots L26-001")["lots"]

    assert f"note: {data['doubts'][0]}; filed as drawn" in told.splitlines()
    assert f"  note: {data['doubts'][0]}" in shown.splitlines()
    assert why.partition(":")[0] in data["doubts"][0]


def test_what_is_filed_is_told_to_a_program(mapped: Bench) -> None:
    """Each plot by its name with its size, what is doubted, and the country."""
    told = mapped.data(f"{FILE} --as-read")

    assert [(one["name"], one["kind"]) for one in told["plots"]] == [
        ("plot 1", "Polygon"),
        ("plot 2", "Point"),
    ]
    assert told["plots"][0]["hectares"] == pytest.approx(18, abs=0.01)
    assert (told["doubts"], told["countries"]) == ([], ["IT"])
    assert len(told["notes"]) == 1


def test_the_country_of_harvest_is_to_be_compared_with_a_map(bench: Bench) -> None:
    """No border is known here: the record's country stands beside the place."""
    bench.file("plots.geojson", POINT)
    where = "lot receive --species 'Acer opalus' --form sawn --boards 1 --by 02 "
    where += (
        "--received 2026-01-05 --supplier 'Ferrante & Daughters' --document D26-0001"
    )
    bench.does(where)
    unknown = bench.does(FILE.replace("L26-001", "L26-003"))
    known = bench.does(FILE)

    assert (
        "L26-001 was harvested in Italy by our record: look on a map that the plots "
        "lie there; if not, longitude and latitude may be swapped" in known
    )
    assert (
        "no country of harvest of L26-003 is on record: look on a map in which one "
        "the plots lie, ask whoever sold it, and name it with flitchbook lot harvest "
        "L26-003" in unknown
    )


def test_of_several_countries_the_plots_may_tell_which() -> None:
    """Where nobody knows more than that it is one of them."""
    assert lot_plots._compare("L26-001", ("CM", "GA")) == (
        "L26-001 was harvested in Cameroon (CM) or Gabon (GA) by our record: look on a "
        "map in which of them the plots lie"
    )


def test_the_lot_names_the_paper_of_its_plots(mapped: Bench) -> None:
    """Beside the others, and as long as it stands."""
    entry = mapped.data(FILE)["entry"]
    shown = mapped.does("lot show L26-001").splitlines()[1]
    told = mapped.data("lot show L26-001")
    mapped.does(f"record correct {entry} --by 02 --why 'the wrong valley'")

    assert shown == "papers: D26-0001, D26-0002 (its plots)"
    assert (told["papers"], told["plots"]) == (["D26-0001"], "D26-0002")
    assert mapped.data("lot show L26-001")["plots"] is None


def test_a_lot_without_plots_says_whom_to_ask(bench: Bench) -> None:
    """That none are on file is an answer, and the next step stands beside it."""
    assert "no plots on file; ask the sawyer" in bench.does("lot plots L26-001")


def test_plots_of_several_lots_are_written_with_their_harvest_only(
    mapped: Bench,
) -> None:
    """Lot, species and harvest; not what the sawyer's file said beside."""
    mapped.does(FILE)
    mapped.does(FILE.replace("L26-001", "L26-002"))
    mapped.does("lot plots L26-001 --with L26-002 --out both.geojson")
    text = (mapped.folder / "both.geojson").read_text(encoding="utf-8")
    features = json.loads(text)["features"]

    assert [each["properties"] for each in features] == [
        {"lot": lot, "species": "Picea abies", "harvested": "2025-01-07/2025-02-14"}
        for lot in ("L26-001", "L26-001", "L26-002", "L26-002")
    ]
    assert f'"coordinates":{UPPER}' in text
    assert "高原" not in text


def test_the_same_plots_are_written_to_the_same_bytes(mapped: Bench) -> None:
    """Whoever asks twice gets one file."""
    mapped.does(FILE)
    for name in ("one", "two"):
        mapped.does(f"lot plots L26-001 --out {name}.geojson")

    one, two = (mapped.folder / f"{name}.geojson" for name in ("one", "two"))
    assert one.read_bytes() == two.read_bytes()


def test_what_was_misfiled_is_struck_and_filed_again(mapped: Bench) -> None:
    """A second file is refused while the first one stands."""
    entry = mapped.data(FILE)["entry"]
    mapped.refuses(FILE, f"on file since entry {entry} (D26-0002)")
    mapped.does(f"record correct {entry} --by 02 --why 'the wrong valley'")

    assert "no plots on file" in mapped.does("lot plots L26-001")
    assert mapped.does(FILE).startswith("D26-0003: 2 plots")


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (FILE.replace("L26-001", "L26-099"), "there is no lot L26-099"),
        (FILE.replace("L26-001", "26-1"), "is not the code of a lot"),
        ("lot plots L26-099", "there is no lot L26-099"),
        (FILE.replace("plots.geo", "none.geo"), "there is no file none.geojson"),
        (FILE.replace("plots.geojson", "shop"), "shop is a folder"),
        (FILE.replace("2025-01-07", "7.1.2025"), "no day such as 2026-11-21"),
        (FILE.replace("2025-02-14", "2024-12-31"), "did not end on 2024-12-31"),
        (FILE.replace("2025-02-14", "2026-01-06"), "was not cut on 2026-01-06"),
        ("lot plots L26-001 plots.geojson --by 02", "say when it was cut"),
        (f"lot plots L26-001 {DAYS}", "there is no file to be filed"),
        ("lot plots L26-001 --as-read", "there is no file to be filed"),
        (f"{FILE} --out x.geojson", "filed or written, not both at once"),
        ("lot plots L26-001 --with L26-002", "several lots are written"),
        ("lot plots L26-001 --out plots.geojson", "is there already"),
        ("lot plots L26-001 --out plots.shp", "does not end in .geojson"),
        (
            "lot plots L26-001 --out new.geojson",
            "L26-001 FILE --harvested-from DAY --harvested-to DAY",
        ),
    ],
)
def test_what_cannot_be_filed_or_written_is_refused(
    mapped: Bench, command: str, why: str
) -> None:
    """In one sentence, with nothing kept."""
    mapped.refuses(command, why)


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (PLOTS[:-20].encode(), "the file ends in the middle"),
        ("木目の細かい板".encode(), "this is no GeoJSON"),
        ("木目の細かい板".encode("shift_jis"), "no text in UTF-8"),
        (b"\x00\x00\x27\x0a\x00", "this is a shapefile"),
        (PLOTS.replace("11.600123,46.300127", "46.300127,111.6").encode(), "swapped"),
    ],
)
def test_a_file_that_holds_no_plots_is_refused(
    mapped: Bench, data: bytes, why: str
) -> None:
    """Cut off, in Japanese, of another kind, or turned about."""
    mapped.file("plots.geojson", data)
    mapped.refuses(FILE, why)


def test_who_may_not_receive_wood_files_no_plots(mapped: Bench) -> None:
    """It is said by whoever receives lots, or a lead."""
    said = mapped.run(FILE.replace("--by 02", "--by 03"))

    assert (said.code, "needs the role lead or the qualification" in said.err) == (
        1,
        True,
    )


def test_personal_plots_are_kept_behind_a_salt(mapped: Bench) -> None:
    """The file does not lie under its own digest, and is read again all the same."""
    mapped.does(f"{FILE} --personal")
    kept = mapped.folder / "shop" / "attachments"

    assert not (kept / hashlib.sha256(PLOTS.encode()).hexdigest()).exists()
    assert "2 plots, cut 2025-01-07" in mapped.does("lot plots L26-001")
