"""flitchbook shipment papers and file: one paper, or all that a shipment asks for."""

import json
import re
from typing import Any

import pytest

from labels import picture
from tests.cli.bench import SERIAL, Bench
from tests.labels import reading

SENT = "--from GB --to US --for sale --on 2026-11-23 --by 12"
TO = "--recipient 'Kenji Arakawa, Sapporo' --sender 'Harbour Road 1' --by 12"
TOUR: dict[str, Any] = {
    "things": [
        {
            "what": "flat-top guitar of 1964",
            "marks": "number 4711 inside",
            "parts": [
                {
                    "part": "back and sides",
                    "species": "Dalbergia nigra",
                    "form": "finished instruments",
                    "mass": "1.05 kg",
                    "origin": "BR",
                    "acquired": "1963-05-01",
                },
                {"part": "dots", "species": "Haliotis spp.", "form": "inlay"},
            ],
        }
    ]
}
BOW: dict[str, Any] = {
    "things": [
        {
            "what": "violin bow",
            "parts": [
                {
                    "part": "stick",
                    "species": "Paubrasilia echinata",
                    "form": "finished accessory",
                    "mass": "60 g",
                    "origin": "BR",
                    "acquired": "1998-04-01",
                }
            ],
        }
    ]
}


def pages(bench: Bench, path: str) -> str:
    """Return all that a paper says, in one line."""
    pdf = (bench.folder / path).read_bytes()
    text = " ".join(reading.text(pdf, page) for page in range(reading.pages(pdf)))
    return re.sub(r"[\s\u2009]+", " ", text)


def filed(bench: Bench, folder: str, number: str = "X26-0001") -> dict[str, Any]:
    """Draw every paper of a shipment into a folder."""
    drawn = bench.run(f"shipment file {number} --out {folder} {TO} --json")
    assert drawn.code == 0, drawn.err
    told: dict[str, Any] = json.loads(drawn.out)
    return told


@pytest.fixture
def blanks(bench: Bench) -> Bench:
    """Plan a case of fingerboard blanks of Indian rosewood."""
    bench.does(
        "lot receive --species 'Dalbergia latifolia' --form sawn --boards 2 "
        "--received 2026-01-05 --harvested-in IN --supplier 'Ferrante & Daughters' "
        "--document D26-0001 --by 02"
    )
    for grams in (290, 301):
        bench.does(
            "board number L26-003 --for fingerboard --length 520mm --width 70mm "
            f"--thickness 9mm --mass {grams}g --by 02"
        )
    bench.does(f"shipment plan L26-003-01 L26-003-02 {SENT}")
    return bench


def test_a_case_of_blanks_gets_its_papers(blanks: Bench) -> None:
    """What is needed, by form; each figure is that of the boards, on every paper."""
    told = filed(blanks, "case")
    drawn = {row["paper"]: row["file"] for row in told["papers"]}

    assert {"materials list", "packing list", "chain of custody"} <= drawn.keys()
    assert {"CITES worksheet", "declaration worksheet"} <= drawn.keys()
    assert set(told["not_drawn"]) == {
        "EU worksheet",
        "instrument certificate worksheet",
        "due diligence sheet",
    }
    for path in drawn.values():
        said = pages(blanks, path)
        assert "Dalbergia latifolia" in said and "X26-0001" in said
        assert "Not a permit." in said and "Keine Genehmigung." in said
        assert "2026-11-24" in said, f"{path} does not say when its tables are of"
        if "custody" not in path:
            assert "0.591" in said, f"{path} has no 290 g + 301 g"
    assert "re-export certificate" in pages(blanks, drawn["CITES worksheet"])


def test_a_paper_is_on_the_shop_s_own_sheet_and_bears_its_letterhead(
    blanks: Bench,
) -> None:
    """The packing list says how to reach the shop, unless a sender was typed."""
    blanks.setting(paper="Letter", letterhead="4 Harbour Road | bench@skm.example")
    packing = "shipment papers X26-0001 --paper packing --by 12"
    blanks.run(f"{packing} --out own.pdf")
    blanks.run(f"{packing} --sender 'Quay 9' --on A4 --out sent.pdf")
    sizes = [
        picture.grey((blanks.folder / name).read_bytes(), page=0, dpi=72).size
        for name in ("own.pdf", "sent.pdf")
    ]

    assert sizes == [(612, 792), (595, 842)]
    own = pages(blanks, "own.pdf")
    assert "4 Harbour Road" in own and "bench@skm.example" in own
    assert "Quay 9" in pages(blanks, "sent.pdf")
    assert "Harbour" not in pages(blanks, "sent.pdf")


def test_each_print_of_each_paper_is_numbered_and_recorded(blanks: Bench) -> None:
    """A second print of one does not count for another."""
    filed(blanks, "case")
    again, other = (
        json.loads(blanks.run(f"shipment papers X26-0001 {one} {TO} --json").out)
        for one in (
            "--paper packing --out again.pdf",
            "--paper cites --out cites.pdf --on Letter",
        )
    )

    assert (again["paper"], again["number"]) == ("packing list", 2)
    assert (other["paper"], other["number"]) == ("CITES worksheet", 2)
    assert blanks.data("record audit")["whole"] is True


def test_the_same_paper_is_the_same_to_the_byte(blanks: Bench) -> None:
    """Under one head, on one day: a reprint of a reprint changes nothing but that."""
    size = blanks.data("shop show")["size"]
    first, second = (
        blanks.run(f"shipment papers X26-0001 --paper custody --out {n}.pdf {TO}")
        for n in ("a", "b")
    )

    assert first.code == second.code == 0
    assert blanks.data("shop show")["size"] == size + 2
    words = [
        re.sub(r"checkpoint .*?(?= [A-Z])", "", pages(blanks, f))
        for f in ("a.pdf", "b.pdf")
    ]
    assert words[0][:400] == words[1][:400]


def test_a_guitar_of_others_goes_on_tour(bench: Bench) -> None:
    """Planned in one command; the application says what must be asked first."""
    bench.file("tour.json", json.dumps(TOUR))
    said = bench.does(
        "shipment plan --described tour.json --from GB --via US --to GB "
        "--for performance --on 2026-12-10 --by 12"
    )
    assert "needed     Dalbergia nigra (back and sides), 1050\u2009g" in said
    assert "not weighed, or in part only: dots (Haliotis spp.)" in said

    told = filed(bench, "tour")
    drawn = {row["paper"]: row["file"] for row in told["papers"]}
    form = pages(bench, drawn["instrument certificate worksheet"])
    assert "number 4711 inside" in form and "1963-05-01" in form
    assert "1992-06-11" in form and "1.050 kg" in form


@pytest.mark.parametrize(
    ("way", "typed", "shown", "is_open"),
    [
        ("--via US", "Ostrander Hall, New York", "New York, United States (US)", False),
        (
            "--via FR --via US",
            "Ostrander Hall, New York",
            "New York, country to be added by hand: France (FR) or United States (US)",
            True,
        ),
        (
            "--via FR --via US",
            "Ostrander Hall, New York, United States",
            "New York, United States (US)",
            False,
        ),
    ],
)
def test_a_tour_s_papers_name_the_country_that_it_is_in(
    bench: Bench, way: str, typed: str, shown: str, is_open: bool
) -> None:
    """Never the one that it comes home to; what nobody knows is left to the pen."""
    bench.does(
        f"shipment plan {SERIAL} --from GB {way} --to GB --for exhibition "
        f"--on 2026-12-10 --by 12"
    )
    to = f"--recipient '{typed}' --sender 'Harbour Road 1' --by 12"
    for paper in ("materials", "packing", "custody"):
        command = f"shipment papers X26-0001 --paper {paper} --out {paper}.pdf {to}"
        drawn = bench.run(command)
        said = pages(bench, f"{paper}.pdf")
        _, _, received = said.partition("Harbour Road 1, United Kingdom (GB)")

        assert drawn.code == 0, drawn.err
        assert shown in said, said
        assert "United Kingdom (GB)" not in received
        asked = "recipient's country is open: end --recipient with France or the Unit"
        assert (asked in drawn.err) is is_open
    assert f"{shown.partition(':')[0]}" in pages(bench, "materials.pdf")
    assert ", and back" in pages(bench, "materials.pdf")


def test_the_recipient_of_a_tour_imports_it_abroad(bench: Bench) -> None:
    """Into the United States the hall; home from France the shop in the States."""
    out = "--from GB --via US --to GB --for exhibition --on 2026-12-10 --by 12"
    home = "--from US --via FR --to US --for exhibition --on 2026-12-10 --by 12"
    to = "--recipient 'Ostrander Hall, 57 Fulton Row' --sender 'Harbour Road 1' --by 12"
    told = []
    for number, way in enumerate((out, home), start=1):
        bench.does(f"shipment plan {SERIAL} {way}")
        paper = f"--paper declaration --out {number}.pdf {to}"
        drawn = bench.run(f"shipment papers X26-000{number} {paper}")
        assert drawn.code == 0, drawn.err
        told.append(pages(bench, f"{number}.pdf"))

    assert "57 Fulton Row" in told[0] and "Harbour Road 1" not in told[0]
    assert "Harbour Road 1" in told[1] and "57 Fulton Row" not in told[1]


def test_a_bow_is_sold_abroad(bench: Bench) -> None:
    """Of pernambuco from before its listing, under the text of 2026."""
    bench.file("bow.json", json.dumps(BOW))
    said = bench.does(f"shipment plan --described bow.json {SENT}")
    assert "pre-Convention certificate, from the Management Authority" in said

    told = filed(bench, "bow")
    drawn = {row["paper"]: row["file"] for row in told["papers"]}
    form = pages(bench, drawn["CITES worksheet"])
    assert "pre-Convention certificate" in form and "Paubrasilia echinata" in form
    assert "violin bow violin bow" not in form


def test_what_cannot_be_issued_is_refused_and_recorded_nowhere(bench: Bench) -> None:
    """A missing mass, a strange shipment, a folder that is there."""
    lacking = json.loads(json.dumps(BOW))
    del lacking["things"][0]["parts"][0]["mass"]
    bench.file("bow.json", json.dumps(lacking))
    bench.does(f"shipment plan --described bow.json {SENT}")
    size = bench.data("shop show")["size"]

    paper = "shipment papers X26-0001 --paper cites --out no.pdf --by 12"
    bench.refuses(paper, "stick of violin bow")
    assert not (bench.folder / "no.pdf").exists()
    bench.refuses("shipment file X26-0099 --out x --by 12", "no shipment X26-0099")
    (bench.folder / "there").mkdir()
    bench.refuses("shipment file X26-0001 --out there --by 12", "is there already")
    assert bench.data("shop show")["size"] == size


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "is no whole JSON"),
        ('{"things": [', "is no whole JSON"),
        ("弓", "is no whole JSON"),
        ("[]", "the file must be a JSON object with things"),
        ('{"things": [{"what": "bow"}]}', "thing 1, parts must be a list"),
    ],
)
def test_a_file_that_describes_nothing_is_refused(
    bench: Bench, text: str, said: str
) -> None:
    """In one sentence; nothing is planned."""
    bench.file("things.json", text)
    bench.refuses(f"shipment plan --described things.json {SENT}", said)
    bench.refuses(f"shipment plan --described none.json {SENT}", "there is no file")


@pytest.mark.parametrize(
    ("option", "said"),
    [
        ("--mass M26-001", "needs a name and a value"),
        ("--mass 'M26-001=2'", "2 has no unit"),
        ("--mass 'M26-001=2 mm'", "2 mm"),
        ("--mass 'L26-001=2 g'", "L26-001"),
        ("--mass 'M26-001=2 g'", "M26-001 is no batch of a plant or an animal in"),
    ],
)
def test_a_mass_is_of_a_batch_that_is_in_it(
    bench: Bench, option: str, said: str
) -> None:
    """Else the plan is refused."""
    bench.refuses(f"shipment plan {SERIAL} {option} {SENT}", said)


def test_every_paper_and_the_year_s_balance_agree_to_the_gram(blanks: Bench) -> None:
    """What the list says was sent is what the scale said and the balance lost."""
    sent = "--from GB --to US --for sale --on 2026-01-05 --by 12"
    blanks.does(f"shipment plan L26-003-01 L26-003-02 {sent}")
    told = filed(blanks, "case", "X26-0002")
    boards = [blanks.data(f"board show L26-003-0{n}")["mass_mg"] for n in (1, 2)]
    weighed = sum(boards)
    planned = blanks.data(f"shipment plan L26-003-01 L26-003-02 {sent} --look-ahead")
    sheets = blanks.data("lot balance")["species"]
    (sheet,) = (row for row in sheets if row["species"] == "Dalbergia latifolia")

    assert weighed == 591_000
    assert sum(row["mass_mg"] for row in planned["rows"]) == weighed
    assert sheet["shipped"]["mass_mg"] == weighed
    for row in told["papers"]:
        if row["paper"] != "chain of custody":
            assert "0.591" in pages(blanks, row["file"]), row["paper"]


def test_a_guitar_with_shell_in_it_is_wildlife_to_the_united_states(
    bench: Bench,
) -> None:
    """Under the batch's own name; how much of it there is may be said with the plan."""
    batch = bench.data(
        "material receive 'abalone dots' --as shell --species 'Haliotis spp.' --by 02"
    )["batch"]
    serial = bench.data("build begin Tidewarden --by 01")["serial"]
    bench.does(
        "board number L26-001 --for top --length 559mm --width 203mm --thickness 4.2mm "
        "--mass 205g --mass 207g --by 02"
    )
    bench.does(
        "board number L26-002 --for neck --length 810mm --width 76mm --thickness 30mm "
        "--mass 850g --by 02"
    )
    bench.does(f"build allot {serial} L26-001-02 --part top --by 03")
    bench.does(f"build allot {serial} L26-002-02 --part neck --by 03")
    bench.does(
        f"build sign {serial} 'join the top' --weighed top=190.5g --used {batch} "
        f"--by 03"
    )
    bench.does(
        f"build sign {serial} brace --weighed neck=611g --measured mass=1986g "
        f"--measured relief=0.18mm --by 03"
    )
    issued = bench.run(f"certificate issue {serial} --out own.pdf --by 01")
    assert issued.code == 0, issued.err

    said = bench.does(f"shipment plan {serial} --mass {batch}=2.1g {SENT}")

    assert "Haliotis spp. (abalone dots), 2.1\u2009g" in said
    assert "wildlife declaration (Form 3-177)" in said
    told = filed(bench, "shell")
    drawn = {row["paper"]: row["file"] for row in told["papers"]}
    for paper in ("materials list", "packing list", "chain of custody"):
        assert "Haliotis spp." in pages(bench, drawn[paper])
    assert "0.804" in pages(bench, drawn["materials list"])


def test_papers_fail_where_the_materials_list_does(bench: Bench) -> None:
    """What speaks against all of them is said once, and the exit code is one."""
    bench.file("permit.txt", "an export permit")
    filed_as = "--paper 'export permit' --issued 1997-01-02 --expires 1997-03-01"
    code = bench.data(f"document file permit.txt {filed_as} --by 02")["document"]
    late = json.loads(json.dumps(BOW))
    late["things"][0]["parts"][0]["papers"] = [code]
    bench.file("bow.json", json.dumps(late))
    bench.does(f"shipment plan --described bow.json {SENT}")
    drawn = bench.run(f"shipment file X26-0001 --out bow {TO}")

    assert drawn.code == 1
    assert drawn.out.count("see flitchbook document used") == 1
    assert "No materials list or chain of custody or CITES worksheet" in drawn.out
    assert (bench.folder / "bow" / "X26-0001-packing.pdf").exists()


@pytest.mark.parametrize(
    ("recipient", "why"),
    [
        ("Rousset, " * 600, "--recipient is too long for the paper"),
        ("A B, Lyon, France", "address ends in France, and the shipment goes to Unit"),
    ],
)
def test_a_recipient_that_no_paper_can_bear_is_refused_first(
    blanks: Bench, recipient: str, why: str
) -> None:
    """In one sentence, before anything is drawn."""
    to = f"--recipient '{recipient}' --by 12"
    blanks.refuses(f"shipment file X26-0001 --out case {to}", why)
    blanks.refuses(f"shipment papers X26-0001 --out one.pdf {to}", why)

    assert not (blanks.folder / "case").exists()
