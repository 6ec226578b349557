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


def reported(bench: Bench, badge: str, kind: str) -> list[int]:
    """Report somebody's key from the newest entry of a kind on; return what is open."""
    said = bench.data(f"person entries {badge}")["entries"]
    since = [each["entry"] for each in said if each["kind"] == kind][-1]
    two = "--by 12 --approve 01"
    told = bench.data(f"person compromised {badge} --since {since} {two}")
    return [each["entry"] for each in told["disputed"]]


def test_papers_of_a_blank_tell_what_of_it_is_in_dispute(blank: Bench) -> None:
    """Its lot and its number: in a sentence, beside the step, or to who draws them."""
    lot, number = reported(blank, "02", "lot.received")
    materials = paper(blank, "materials", "m.pdf")
    custody = paper(blank, "custody", "c.pdf")
    said = blank.run("shipment papers X26-0001 --paper packing --out p.pdf --by 12")

    assert f"Entries {lot} and {number} are disputed: keys that said them" in materials
    assert len(re.findall("disputed: ask the maker", custody)) >= 2
    assert re.search(
        rf"came in as L26-003 \S+ disputed: ask the maker; .{{3,40}} {lot} by a paper",
        custody,
    )
    assert re.search(
        rf"numbered as L26-003-01 disputed: ask the maker {number} by our own", custody
    )
    assert (
        f"the packing list of X26-0001 rests on what is in dispute, entries {lot}, "
        f"{number}: look"
    ) in said.err
    blank.does(f"record affirm {lot} {number} --by 01 --approve 12")
    assert "disputed" not in paper(blank, "custody", "c2.pdf")
    assert "disputed" not in paper(blank, "materials", "m2.pdf")


def test_a_file_of_papers_tells_what_is_in_dispute_behind_an_instrument(
    bench: Bench,
) -> None:
    """Its steps; whoever carries the folder hears it once."""
    bench.does("shipment plan 26-0001-8 --from GB --to US --for sale --by 12")
    signed = reported(bench, "03", "build.step-signed")
    said = bench.run("shipment file X26-0001 --out papers --by 12")

    assert said.code == 0
    assert "the file of X26-0001 rests on what is in dispute, entry" in said.err
    assert str(signed[-1]) in said.err
