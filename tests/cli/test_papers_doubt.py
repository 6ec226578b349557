"""Papers of a shipment in doubt: the hold leads, and its paper is not counted."""

import json
import re

from tests.cli.bench import Bench
from tests.labels import reading


def paper(bench: Bench, kind: str, out: str, *, of: str = "X26-0001") -> str:
    """Return all that a paper of a shipment says, all spaces alike."""
    made = bench.run(f"shipment papers {of} --paper {kind} --out {out} --by 12")
    assert made.code == 0, made.err
    pdf = (bench.folder / out).read_bytes()
    text = " ".join(reading.text(pdf, page) for page in range(reading.pages(pdf)))
    return re.sub(r"[\s\u2009]+", " ", text)


def test_a_paper_in_doubt_is_not_counted_until_its_hold_is_lifted(
    blank: Bench,
) -> None:
    """On the materials list, the chain of custody and the packing list."""
    blank.does("hold place D26-0001 --why 'the stamp looks odd' --by 03")
    materials = paper(blank, "materials", "m.pdf")
    custody = paper(blank, "custody", "c.pdf")
    packing = paper(blank, "packing", "p.pdf")

    assert re.search(r"HOLD H26-001 \d ", materials)
    assert "In doubt by H26-001: a paper that is marked HOLD is not counted" in (
        materials
    )
    assert re.search(
        r"HOLD H26-001: [^.]*\(D26-0001\) is in doubt, and not counted as on file",
        materials,
    )
    assert "On file:" not in materials
    assert "HOLD in doubt, H26-001" in custody and "HOLD in doubt, H26-001" in packing
    assert "1 part, none shown by a paper" in custody
    assert "HOLD H26-001: " in custody and not re.search(r"\d by a paper", custody)

    blank.does("hold lift H26-001 --why 'the issuer wrote' --by 01")
    again = paper(blank, "materials", "m2.pdf")
    assert "HOLD" not in again and "On file:" in again
    assert re.search(r"\d by a paper", paper(blank, "custody", "c2.pdf"))


def test_a_worksheet_asks_for_what_is_in_doubt_first(blank: Bench) -> None:
    """The form of the Convention and the plant declaration name no such paper else."""
    blank.does("hold place D26-0001 --why 'the stamp looks odd' --by 03")

    for kind in ("cites", "declaration"):
        said = paper(blank, kind, f"{kind}.pdf")
        assert "is in doubt, and not counted as on file" in said
        assert re.search(r"Ask first HOLD H26-001: [^.]*\(D26-0001\) is in", said)
        assert said.count("D26-0001") == 1


def test_the_way_of_what_others_made_names_its_paper_in_doubt(blank: Bench) -> None:
    """It came in as described, and nothing shows it."""
    part = {
        "part": "back",
        "species": "Dalbergia latifolia",
        "form": "finished_instruments",
        "mass": "850 g",
        "origin": "IN",
        "acquired": "2019-05-01",
        "papers": ["D26-0001"],
    }
    things = [{"what": "guitar of 1964", "marks": "4711 inside", "parts": [part]}]
    blank.file("things.json", json.dumps({"things": things}))
    blank.does(
        "shipment plan --described things.json --from GB --to US --for sale "
        "--on 2026-11-23 --by 12"
    )
    blank.does("hold place D26-0001 --why 'the stamp looks odd' --by 03")
    said = paper(blank, "custody", "c.pdf", of="X26-0002")

    assert re.search(r"as described 2019-05-01 HOLD H26-001: [^.]*not shown", said)


def test_wood_in_doubt_says_so_and_keeps_its_papers(blank: Bench) -> None:
    """A doubt in the lot is none in the invoice."""
    blank.does("hold place L26-003 --why 'the grain looks odd' --by 03")
    materials = paper(blank, "materials", "m.pdf")

    assert "HOLD H26-001: this wood is in doubt" in materials
    assert "On file:" in materials
    assert "HOLD H26-001; " in paper(blank, "custody", "c.pdf")
