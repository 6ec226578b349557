"""Plots are filed once for a lot, whole or not at all, and go where they must."""

from pathlib import Path

import pytest

from ledger.acts import holds, people
from ledger.acts.plausible import UnlikelyError
from ledger.acts.plots import (
    Filed,
    OnFile,
    PlotsDraft,
    counted_plots,
    file_plots,
    grown_of,
    plots_file,
    plots_on_file,
)
from ledger.audit import audit
from ledger.errors import LedgerError, RefusedError, TamperError
from ledger.events import PlotsFiled
from ledger.trade.due_diligence import Grown
from ledger.trade.plots import read_plots
from ledger.views.wood import Lot
from tests.skerrymoor import Loft

POINT = b'{"type":"Point","coordinates":[11.600123,46.300127]}'
FAR = (
    b'{"type":"MultiPoint","coordinates":[[11.600123,46.300127],[46.300127,11.600123]]}'
)


def file(
    loft: Loft, lot: str, data: bytes = POINT, *, badge: str = "02", **told: bool
) -> Filed:
    """File the plots of a lot: one, where nothing else is said."""
    draft = PlotsDraft(
        lot=lot,
        data=data,
        harvested_from="2025-01-07",
        harvested_to="2025-02-14",
        **told,
    )
    return file_plots(loft.shop, draft, loft.hands(badge))


def on_file(loft: Loft, lot: str) -> OnFile:
    """Return what is on file for a lot."""
    with loft.shop.store.reading() as session:
        return plots_on_file(loft.shop, session, lot)


def kept(loft: Loft) -> list[bytes]:
    """Return all files on the shelf."""
    folder: Path = loft.shop.attachments
    return [path.read_bytes() for path in folder.iterdir()] if folder.is_dir() else []


def test_what_was_filed_is_read_again(supplied: Loft) -> None:
    """The plots come back as they were filed, with the days of the harvest."""
    lot = str(supplied.receive())
    made = file(supplied, lot)
    found = on_file(supplied, lot)

    assert found.filed is not None
    assert (found.filed.document, found.filed.idx) == (made.document, made.entry)
    assert found.plots == made.read.plots
    assert read_plots(plots_file((found,))).plots == found.plots


def test_papers_say_of_the_plots_how_many_and_when(supplied: Loft) -> None:
    """A lot without any is left out, so that a sheet asks about it."""
    lot, other = str(supplied.receive()), str(supplied.receive())
    made = file(supplied, lot)
    with supplied.shop.store.reading() as session:
        grown = grown_of(supplied.shop, session, (lot, other))

    assert grown == {
        lot: Grown(
            lot=lot,
            document=made.document,
            number=1,
            harvested_from="2025-01-07",
            harvested_to="2025-02-14",
        )
    }


def test_plots_of_a_paper_in_doubt_are_told_and_do_not_count(supplied: Loft) -> None:
    """They bear the hold, and are not in the file for an authority."""
    lot = str(supplied.receive())
    made = file(supplied, lot)
    shop, doubted = supplied.shop, holds.find_doubted(supplied.shop, made.document)

    def told() -> tuple[str, int]:
        with shop.store.reading() as session:
            grown = grown_of(shop, session, (lot,))
            return grown[lot].hold, len(counted_plots(shop, session, (lot,)))

    assert told() == ("", 1)
    hold = holds.place(shop, doubted, reason="it is odd", hands=supplied.hands("03"))
    assert told() == (hold, 0)


def test_no_coordinate_stands_in_the_log(supplied: Loft) -> None:
    """Only how many plots there are, and in which paper."""
    lot = str(supplied.receive())
    made = file(supplied, lot)
    records = b"".join(data for _, data in supplied.shop.store.records())

    assert made.document.encode() in records
    assert b"46.300127" not in records and b"46300127" not in records


def test_what_is_refused_leaves_nothing_behind(supplied: Loft) -> None:
    """Neither a file on the shelf nor a salt, whoever tried."""
    lot, before = str(supplied.receive()), len(kept(supplied))
    for badge, personal in (("03", False), ("03", True)):
        with pytest.raises(LedgerError, match="needs the role lead"):
            file(supplied, lot, badge=badge, is_personal=personal)

    assert len(kept(supplied)) == before
    assert audit(supplied.shop).findings == ()


@pytest.mark.parametrize("is_personal", [False, True])
def test_what_can_hardly_be_is_filed_only_as_read(
    supplied: Loft, is_personal: bool
) -> None:
    """It is refused with nothing kept, or filed and doubted ever after."""
    lot, before = str(supplied.receive()), len(kept(supplied))
    with pytest.raises(UnlikelyError, match=r"5052 km apart.*with --as-read$"):
        file(supplied, lot, FAR, is_personal=is_personal)
    left = len(kept(supplied))
    made = file(supplied, lot, FAR, is_personal=is_personal, as_read=True)
    again = on_file(supplied, lot)

    assert left == before
    assert len(made.doubts) == 1
    assert again.read == made.read
    assert audit(supplied.shop).findings == ()


def test_what_stands_against_filing_is_told_before_a_doubt(supplied: Loft) -> None:
    """Nobody insists on plots that could not be filed anyhow."""
    lot = str(supplied.receive())
    file(supplied, lot)

    with pytest.raises(RefusedError, match="on file since"):
        file(supplied, lot, FAR)


def test_the_country_on_record_is_told_beside_the_plots(supplied: Loft) -> None:
    """One, all that it may be, or none."""
    known = supplied.receive(harvested_in="IT")
    unknown = supplied.receive(harvested_in=None)

    assert file(supplied, str(known)).countries == ("IT",)
    assert on_file(supplied, str(known)).countries == ("IT",)
    assert file(supplied, str(unknown)).countries == ()


def test_a_lot_has_its_plots_once(supplied: Loft) -> None:
    """Also where somebody said so past the act: the views refuse it."""
    lot = str(supplied.receive())
    made = file(supplied, lot)
    again = PlotsFiled(
        lot=lot,
        document=made.document,
        harvested_from="2025-01-07",
        harvested_to="2025-01-07",
        number=1,
    )

    with pytest.raises(RefusedError, match=f"on file since entry {made.entry}"):
        file(supplied, lot)
    with pytest.raises(TamperError, match="before this one"):
        supplied.say(again, "02")


def test_a_refused_second_filing_leaves_the_first_file(supplied: Loft) -> None:
    """The same bytes are on the shelf already, and stay there."""
    lot = str(supplied.receive())
    file(supplied, lot)
    with pytest.raises(RefusedError, match="on file since"):
        file(supplied, lot)

    assert POINT in kept(supplied)


def test_personal_plots_go_with_the_sawyer(supplied: Loft) -> None:
    """Where a farm lies is forgotten with the name, and the log still holds."""
    lot = str(supplied.receive())
    file(supplied, lot, is_personal=True)
    shown, before = on_file(supplied, lot).plots, POINT in kept(supplied)
    with supplied.shop.store.reading() as session:
        sawyer = session.get_one(Lot, lot).supplier or ""
    people.erase(supplied.shop, sawyer, supplied.hands("12", "01"))

    assert shown is not None and before
    assert on_file(supplied, lot).plots is None
    assert POINT not in kept(supplied)
    assert [found.detail for found in audit(supplied.shop).findings] == [
        "the salt of D26-0001 is not in the vault"
    ]
    with pytest.raises(RefusedError, match="ask for them again"):
        plots_file((on_file(supplied, lot),))


def test_old_stock_has_nobody_to_be_personal_about(supplied: Loft) -> None:
    """There is no sawyer whose erasing could take the file along."""
    lot = str(supplied.receive(is_opening=True, evidence="none"))

    with pytest.raises(RefusedError, match="old stock without a sawyer"):
        file(supplied, lot, is_personal=True)


def test_each_altered_byte_of_the_file_is_seen(supplied: Loft) -> None:
    """No plot is shown that was not filed."""
    lot = str(supplied.receive())
    file(supplied, lot)
    (path,) = (
        path
        for path in supplied.shop.attachments.iterdir()
        if path.read_bytes() == POINT
    )
    for place in range(len(POINT)):
        path.write_bytes(POINT[:place] + bytes([POINT[place] ^ 1]) + POINT[place + 1 :])
        with pytest.raises(TamperError, match="now has the digest"):
            on_file(supplied, lot)
