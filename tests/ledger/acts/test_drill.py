"""The drill: a lot followed forward, a product back, and all of it checked."""

import itertools
from dataclasses import replace
from hashlib import sha256
from typing import Any

import pytest
from sqlmodel import col, select

from ledger.acts.balances import sheet_of_lot
from ledger.acts.drill import Drilled, drill, seed_of
from ledger.acts.heads import sign_head
from ledger.acts.permits import LineDraft, read_permit
from ledger.acts.sawing import PieceDraft, join, split
from ledger.errors import NotFoundError
from ledger.views.wood import Document, Lot
from tests.ledger.audit.tampering import behind_the_guards, records_of, refit
from tests.skerrymoor import NECK, TOP, Loft

SERIAL = "26-0001-8"


def drilled(loft: Loft, **told: Any) -> Drilled:
    """Drill by a clock that takes a quarter of a second at each look."""
    ticks = itertools.count()
    return drill(loft.shop, clock=lambda: next(ticks) / 4, **told)


def faults(loft: Loft, **told: Any) -> list[str]:
    """Return what did not add up, each as its subject and words."""
    found = drilled(loft, **told).all_faults
    return [f"{fault.what}: {fault.said}" for fault in found]


def digest_of(loft: Loft, code: str = "D26-0001") -> str:
    """Return under which digest a paper lies."""
    with loft.shop.store.reading() as session:
        return session.get_one(Document, code).digest


def test_a_lot_leads_to_all_that_it_became(certified: Loft) -> None:
    """Instrument, certificate, papers, and every gram of it."""
    found = drilled(certified, lot="L26-001").forward

    assert (found.lot, found.species, found.is_picked) == (
        "L26-001",
        "Picea abies",
        False,
    )
    assert (found.serials, found.certificates) == ((SERIAL,), ("C-2026-00001",))
    assert (found.papers, found.shipments) == (("D26-0001",), ())
    assert found.sheet is not None
    assert found.sheet.in_mg == 205_000 + 207_000
    assert found.sheet.built_in.mass_mg - found.sheet.worked_mg == 190_500
    assert found.sheet.lost_mg == 412_000 - 190_500
    assert (found.sheet.closing.mass_mg, found.sheet.off_mg) == (0, 0)
    assert {line.entry for line in found.lines} <= set(found.entries)
    assert found.files == 1
    assert found.seconds == 0.25


def test_a_product_leads_to_lots_sawyers_and_papers(certified: Loft) -> None:
    """With what its parts weighed together."""
    found = drilled(certified, serial=SERIAL).back

    assert found is not None
    assert (found.lots, found.papers) == (("L26-001", "L26-002"), ("D26-0001",))
    with certified.shop.store.reading() as session:
        supplier = session.get_one(Lot, "L26-001").supplier
    assert found.sawyers == (supplier,)
    assert found.certificates == ("C-2026-00001",)
    assert found.parts_mg == 190_500 + 611_000
    assert (found.seconds, found.is_picked) == (0.25, False)


def test_an_honest_shop_adds_up_and_nothing_is_recorded(certified: Loft) -> None:
    """Neither an entry nor a checkpoint."""
    before = certified.shop.store.head(), list(certified.shop.store.checkpoints())
    found = drilled(certified)

    assert found.all_faults == ()
    assert (certified.shop.store.head(), list(certified.shop.store.checkpoints())) == (
        before
    )


def test_what_is_taken_is_told_by_the_day_and_the_head(certified: Loft) -> None:
    """Anybody can work it out again, and another day takes another."""
    with certified.shop.store.reading() as session:
        lots = list(session.exec(select(Lot.code).order_by(col(Lot.idx))).all())
    root = certified.shop.store.head().root.hex()
    number = int(sha256(f"2026-01-05 {root}".encode()).hexdigest(), 16)
    found = drilled(certified)

    assert (found.day, found.root) == ("2026-01-05", root)
    assert seed_of("2026-01-05", root) == number
    assert found.forward.lot == lots[number % len(lots)]
    assert found.forward.is_picked
    assert drilled(certified).forward.lot == found.forward.lot
    days = {seed_of(f"2026-01-{day:02d}", root) % 2 for day in range(1, 29)}
    assert days == {0, 1}


def test_entries_are_proved_under_the_newest_signed_head(certified: Loft) -> None:
    """What came later rests on the stored head, and that is told."""
    assert drilled(certified).proved_under is None
    sign_head(certified.shop)
    signed = certified.shop.store.head().size
    found = drilled(certified, lot="L26-001", serial=SERIAL)
    assert (found.proved_under, found.unproved) == (signed, 0)

    certified.document("later", paper="invoice")
    lot = certified.receive()
    found = drilled(certified, lot=str(lot), serial=SERIAL)
    assert (found.proved_under, found.unproved) == (signed, 1)
    assert found.all_faults == ()


def test_a_changed_file_is_told(certified: Loft) -> None:
    """With the entry that names it, once for both halves."""
    path = certified.shop.attachments / digest_of(certified)
    path.chmod(0o600)
    path.write_bytes(b"another paper")
    found = drilled(certified, lot="L26-001", serial=SERIAL).all_faults

    assert [(fault.what, fault.entry) for fault in found] == [
        ("D26-0001", found[0].entry)
    ]
    assert "now has the digest" in found[0].said


def test_a_file_that_is_gone_is_told(certified: Loft) -> None:
    """It is to be brought back from a backup."""
    (certified.shop.attachments / digest_of(certified)).unlink()

    assert any("bring it back" in said for said in faults(certified, lot="L26-001"))


def test_a_changed_record_is_told(certified: Loft) -> None:
    """Its inclusion proof leads to another head."""
    sign_head(certified.shop)
    with certified.shop.store.reading() as session:
        index = session.get_one(Lot, "L26-001").idx
    data = records_of(certified)[index].replace(b"Picea abies", b"Picea ABIES")
    with behind_the_guards(certified) as connection:
        connection.execute("UPDATE entry SET record = ? WHERE idx = ?", (data, index))
    found = drilled(certified, lot="L26-001", serial=SERIAL).all_faults

    assert [(fault.what, fault.entry) for fault in found] == [
        ("inclusion proof", index)
    ]


def test_a_log_that_was_made_anew_is_told(certified: Loft) -> None:
    """Its tiles fit, and no longer lead to the head that was signed."""
    sign_head(certified.shop)
    records = records_of(certified)
    last = len(records) - 1
    refit(certified, [*records[:last], records[last].replace(b"2026", b"2027")])

    assert any(said.startswith("inclusion proof: ") for said in faults(certified))


def test_a_checkpoint_that_nobody_signed_is_told(certified: Loft) -> None:
    """Nothing is proved under it."""
    note = sign_head(certified.shop)
    text, _, rest = note.partition("\n\n")
    forged = f"{text}\n\n{rest[:-6]}AAAA\n"
    with behind_the_guards(certified) as connection:
        connection.execute("UPDATE checkpoint SET note = ?", (forged.encode(),))
    found = drilled(certified)

    assert found.proved_under is None
    assert [fault.what for fault in found.all_faults] == ["checkpoint"]


def test_a_paper_that_is_drawn_over_is_told(supplied: Loft) -> None:
    """One piece more than it was issued for."""
    code = supplied.document("P 77", paper="export permit")
    lot = supplied.receive(documents=(code,), boards=2)
    supplied.number(lot, TOP, TOP)
    line = LineDraft(species="Picea abies", unit="pieces", amount=1)
    read_permit(supplied.shop, code, [line], supplied.hands("12"))

    assert faults(supplied, lot=str(lot)) == [
        f"{code}: line 1, Picea abies, is drawn over"
    ]


def test_a_mass_that_a_view_tells_otherwise_is_told(certified: Loft) -> None:
    """What is counted is compared with what the entries say."""
    with behind_the_guards(certified) as connection:
        connection.execute(
            "UPDATE weighing SET mass_mg = 300000 WHERE board = 'L26-001-01.A'"
        )

    said = faults(certified, lot="L26-001", serial=SERIAL)
    assert len(said) == 1
    assert said[0].startswith("L26-001: the entries say 412")


def test_a_certificate_that_tells_another_mass_is_told(certified: Loft) -> None:
    """The parts were weighed in entries, and it names their masses."""
    with behind_the_guards(certified) as connection:
        connection.execute(
            "UPDATE weighedpart SET mass_mg = 611001 WHERE part = 'neck'"
        )

    assert any(
        said.startswith("C-2026-00001: it tells 801")
        for said in faults(certified, lot="L26-001", serial=SERIAL)
    )


def test_a_lot_that_was_sawn_and_glued_adds_up_to_the_milligram(supplied: Loft) -> None:
    """Each lot with its share, whatever it was glued to."""
    first, second = supplied.receive(), supplied.receive()
    one, other = supplied.number(first, NECK)[0], supplied.number(second, NECK)[0]
    hands = supplied.hands("03")
    half = PieceDraft(
        meant_for="neck",
        mass_mg=500_001,
        length_um=400_000,
        width_um=95_000,
        thickness_um=24_000,
    )
    glued = replace(half, meant_for="body", mass_mg=1_540_001, width_um=190_000)
    pieces = split(
        supplied.shop,
        codes=[one],
        pieces=[half, half],
        waste_mg=30_000,
        as_read=True,
        hands=hands,
    )
    join(
        supplied.shop,
        codes=[pieces[0], other],
        draft=glued,
        as_read=True,
        hands=hands,
    )
    with supplied.shop.store.reading() as session:
        sheets = [sheet_of_lot(supplied.shop, session, str(x)) for x in (first, second)]

    assert [sheet.in_mg for sheet in sheets] == [1_040_000, 1_040_000]
    assert [sheet.off_mg for sheet in sheets] == [0, 0]
    left = sum(sheet.closing.mass_mg for sheet in sheets)
    assert left == 1_540_001 + 500_001
    assert faults(supplied, lot=str(first)) == []


def test_a_lot_without_boards_has_no_masses(supplied: Loft) -> None:
    """And no product is followed where none holds wood."""
    lot = supplied.receive()
    found = drilled(supplied)

    assert (found.forward.lot, found.forward.sheet, found.back) == (
        str(lot),
        None,
        None,
    )
    assert found.all_faults == ()
    with (
        supplied.shop.store.reading() as session,
        pytest.raises(NotFoundError, match="number them first"),
    ):
        sheet_of_lot(supplied.shop, session, str(lot))


def test_where_there_is_nothing_to_follow_that_is_said(loft: Loft) -> None:
    """Nor what was never recorded."""
    with pytest.raises(NotFoundError, match="no lot came in yet"):
        drilled(loft)
    loft.supplier()
    lot = str(loft.receive())
    with pytest.raises(NotFoundError, match="there is no lot L26-099"):
        drilled(loft, lot="L26-099")
    with pytest.raises(NotFoundError, match="there is no instrument 26-0009-1"):
        drilled(loft, lot=lot, serial="26-0009-1")
