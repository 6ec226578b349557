"""The chain of custody as the record tells it: no step claims more than is shown."""

import json
import re
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from cli import papers_custody
from ledger.trade.consignment import HeldPaper
from ledger.views.wood import Supplier
from tests.cli.bench import Bench
from tests.labels import reading
from tests.labels.consignments import item

SENT = "--from GB --to US --for sale --on 2026-11-23 --by 12"
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


def custody(bench: Bench, to: str = "") -> str:
    """Return all that the chain of custody of the first shipment says."""
    made = bench.run(
        f"shipment papers X26-0001 --paper custody --out way.pdf {to} --by 12"
    )
    assert made.code == 0, made.err
    pdf = (bench.folder / "way.pdf").read_bytes()
    text = " ".join(reading.text(pdf, page) for page in range(reading.pages(pdf)))
    return re.sub(r"[\s\u2009]+", " ", text)


def test_a_blank_was_sawn_by_nobody_and_made_into_nothing(blank: Bench) -> None:
    """Its supplier supplied it, by our own book, and it is meant for a fingerboard."""
    said = custody(blank)

    assert "sawn by" not in said and "made into" not in said
    for stage in (
        r"grew in India \(IN\)",
        r"supplied by .{3,40}",
        "numbered as L26-003-01",
        "meant for fingerboard",
        "goes as L26-003-01",
    ):
        assert re.search(rf"{stage} \d+ by our own book", said), stage
    # The invoice is named where the wood came in, and nowhere else.
    assert re.search(
        r"came in as L26-003 2026-01-05 .{3,40} \(D26-0001\) \d+ by a paper", said
    )
    assert said.count("D26-0001") == len(re.findall(r"\d by a paper", said)) == 1


def test_a_pair_is_numbered_by_its_set(bench: Bench) -> None:
    """Both halves are in the part, and neither alone would be the whole of it."""
    bench.does("shipment plan 26-0001-8 --from GB --to US --for sale --by 12")
    said = custody(bench)
    assert re.search(r"numbered as L26-001-\d\d \d", said)
    assert not re.search(r"numbered as \S+\.[AB] ", said)


def test_what_was_made_elsewhere_was_made_by_no_paper(bench: Bench) -> None:
    """Nobody here saw a stick made; that it goes as a bow is the word of its owner."""
    (bench.folder / "bow.json").write_text(json.dumps(BOW), encoding="utf-8")
    bench.does(f"shipment plan --described bow.json {SENT}")
    said = custody(bench)

    assert "made into stick not shown" in said
    assert "goes as violin bow by a word" in said
    assert "grew in Brazil (BR) not shown" in said


def test_one_of_several_countries_is_a_gap() -> None:
    """Which it is nobody knows, whatever papers the wood has otherwise."""
    of = item("26-0147-3", "Diospyros crassiflora", "bridge", 38_000)
    (step,) = papers_custody._grew(
        replace(of, origin=None, may_be_from=("CM", "GA"), shown="document"), 41
    )

    assert step.said == "one of Cameroon (CM) or Gabon (GA); ask which"
    assert step.as_shown.is_gap and not step.document


def test_a_paper_of_what_was_made_elsewhere_is_named() -> None:
    """With the day on which it was acquired; without one it is a gap."""
    bill = HeldPaper(document="D26-0009", paper="bill of sale", number="7")
    of = item("old guitar", "Dalbergia nigra", "back", 700_000, lots=())
    old = replace(
        of, held=(bill,), lots=(), shown="document", acquired=date(1964, 5, 1)
    )
    (step,) = papers_custody._described(old)

    assert (step.stage, step.day, step.shown) == ("lot", "1964-05-01", "document")
    assert "D26-0009" in step.document and not step.as_shown.is_gap
    assert list(papers_custody._described(replace(old, held=()))) == []


@pytest.mark.parametrize(
    ("paper", "issued", "is_of_origin"),
    [
        ("export permit", "2024-01-02", True),
        ("CITES Export Permit no. 7", "2024-01-02", True),
        ("certificate of origin", "2024-01-02", True),
        ("Ursprungszeugnis", None, True),
        ("licenza di esportazione", None, True),
        ("Felling permit no. 12", None, True),
        ("phytosanitary certificate", None, True),
        ("CITES permit", None, True),
        ("export permit", "2024-01-19", False),
        ("invoice", "2024-01-02", False),
        ("kiln certificate", "2024-01-02", False),
        ("protected plant permit", "2024-01-02", False),
        ("application for export permit", "2024-01-02", False),
    ],
)
def test_only_a_paper_of_origin_says_where_it_grew(
    paper: str, issued: str | None, is_of_origin: bool
) -> None:
    """An invoice does not, nor a permit of after the wood came in on 18 January.

    Source: common practice, no source.
    """
    day = date.fromisoformat(issued) if issued else None
    held = (HeldPaper(document="D24-0001", paper=paper, issued_on=day),)
    of = item("26-0147-3", "Picea abies", "top", 190_250, held=held)
    (step,) = papers_custody._grew(of, 41)

    assert bool(step.document) is is_of_origin
    assert step.as_shown.shown == ("document" if is_of_origin else "diary")


def test_a_long_address_goes_on_every_paper_and_an_endless_one_on_none(
    blank: Bench,
) -> None:
    """It is refused by the option that gave it, and the country stands once."""
    street = "Département des bois, Bâtiment C, 118 quai des Luthiers, 4e étage"
    to = f"--recipient 'Conservatoire de lutherie, {street}, Austin, United States'"
    said = custody(blank, to)

    assert "Austin, United States (US)" in said
    assert "United States, United States" not in said and "4e étage" in said
    for option in ("recipient", "sender"):
        for paper in ("custody", "materials", "packing"):
            blank.refuses(
                f"shipment papers X26-0001 --paper {paper} --out no.pdf --by 12 "
                f"--{option} 'Rousset, {'quai des Luthiers, ' * 40}'",
                f"--{option} is too long for the paper: 10 lines are the most",
            )
    assert not (blank.folder / "no.pdf").exists()


@pytest.mark.parametrize(
    ("shown", "region", "country", "said"),
    [
        ("by-region", "the west coast", "GB", "a supplier (the west coast)"),
        ("by-region", None, "GB", "a supplier in the United Kingdom"),
        ("by-region", None, None, "known to the maker"),
        ("known-to-maker", "the west coast", "GB", "known to the maker"),
    ],
)
def test_a_supplier_who_may_not_be_named_is_told_by_the_place(
    shown: str, region: str | None, country: str | None, said: str
) -> None:
    """In words that go with any region; without leave not so much as that."""
    supplier = Supplier(
        subject="s",
        name_commitment="",
        shown=shown,
        region=region,
        country=country,
        idx=1,
    )

    assert papers_custody._unnamed(supplier) == said
