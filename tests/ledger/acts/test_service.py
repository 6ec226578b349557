"""After sale: work, parts that come off, trips out and home, each an entry."""

from pathlib import Path
from typing import Any

import pytest

from ledger.acts import corrections, service
from ledger.acts.copies import rebuild
from ledger.acts.service import away, come_home, send, trip_words
from ledger.acts.shop import said_at
from ledger.audit import audit
from ledger.errors import LedgerError, NotFoundError, RefusedError
from ledger.events import InstrumentSentV1, MaterialFinished, MaterialReceived
from ledger.events.build import Measure
from ledger.log import attachments
from ledger.views.boards import Board, boards_in
from ledger.views.service import services_of, trips_of
from tests.aftersale import OLD_TOP, SERIAL, picture, retopped, serviced, top_off
from tests.skerrymoor import Loft


def sent(loft: Loft, **said: Any) -> int:
    """Send the instrument to a show; return the entry."""
    told: dict[str, Any] = {
        "serial": SERIAL,
        "to": "the harbour fair",
        "errand": "show",
        "hands": loft.hands("12"),
    }
    return send(loft.shop, **(told | said)).index


def home(loft: Loft, **said: Any) -> int:
    """Let the instrument come home; return the entry."""
    told: dict[str, Any] = {"serial": SERIAL, "hands": loft.hands("12")}
    return come_home(loft.shop, **(told | said)).index


def test_what_is_said_late_is_of_its_own_day(certified: Loft) -> None:
    """Unless another is named: it left, came home and was mended then."""
    certified.clock.moment = certified.clock.moment.replace(day=9)
    certified.shop = said_at(certified.shop, "2026-01-07T16:40:00Z")
    serviced(certified)
    sent(certified)
    home(certified, on="2026-01-08")
    with certified.shop.store.reading() as session:
        (trip,), (done,) = trips_of(session, SERIAL), services_of(session, SERIAL)

    assert (trip.sent_on, trip.returned_on) == ("2026-01-07", "2026-01-08")
    assert done.day == "2026-01-07"


def test_service_says_what_was_done_with_what(certified: Loft, tmp_path: Path) -> None:
    """Fault, work, measures, batches and pictures stand in one entry."""
    received = MaterialReceived(
        batch="M26-001", what="hide glue", use="glue", received_on="2026-01-05"
    )
    certified.say(received)
    seen = picture(tmp_path / "crack.png")
    entry = serviced(
        certified,
        fault="crack in the top",
        measures=[Measure(what="relief", length_um=-20)],
        materials=["M26-001"],
        photographs=[seen],
    )

    assert entry.event["materials"] == ["M26-001"]
    (digest,) = entry.event["photographs"]
    assert attachments.get(certified.shop.attachments, digest).read_bytes() == (
        seen.read_bytes()
    )
    with certified.shop.store.reading() as session:
        (row,) = services_of(session, SERIAL)
        assert (row.work, row.fault, row.day) == (
            "set up anew",
            "crack in the top",
            "2026-01-05",
        )
    assert audit(certified.shop).findings == ()


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"work": " "}, "the work has 1 to 200"),
        ({"on": "2026-02-30"}, "is no day"),
        ({"on": "2026-01-06"}, "2026-01-06 is still to come, and today is 2026-01-05"),
        ({"on": "2026-01-04"}, "certified on 2026-01-05, and this service is of"),
        ({"materials": ["M26-009"]}, "there is no batch M26-009"),
        ({"materials": ["M26-001"]}, "batch M26-001 .hide glue. was finished by entry"),
        ({"materials": ["M26-002"]}, "was good until 2026-01-04, and this is of"),
        ({"measures": [Measure(what="mass", mass_mg=0)]}, "0 mg is no mass"),
        (
            {"measures": [Measure(what="relief", length_um=n) for n in (1, 2)]},
            "'relief' is measured twice",
        ),
        ({"photographs": [Path("none.png")]}, "there is no file none.png"),
        ({"serial": "26-0002-6"}, "has no certificate yet, so it is still being built"),
        ({"serial": "26-0009-1"}, "there is no instrument 26-0009-1"),
        ({"badge": "03"}, "needs the role lead or the qualification papers or"),
    ],
)
def test_what_cannot_be_is_no_service(
    certified: Loft, said: dict[str, Any], why: str
) -> None:
    """One sentence says what stands against it, and nothing is recorded."""
    certified.begin()
    for batch, until in (("M26-001", None), ("M26-002", "2026-01-04")):
        certified.say(
            MaterialReceived(
                batch=batch,
                what="hide glue",
                use="glue",
                received_on="2026-01-02",
                expires_on=until,
            )
        )
    certified.say(MaterialFinished(batch="M26-001"))
    size = certified.shop.store.head().size
    hands = certified.hands(said.pop("badge", "01"))
    with pytest.raises(LedgerError, match=why):
        serviced(certified, **({"hands": hands} | said))

    assert certified.shop.store.head().size == size


def test_a_picture_of_a_refused_service_is_not_kept(
    certified: Loft, tmp_path: Path
) -> None:
    """No file stays that no entry names."""
    seen = picture(tmp_path / "crack.png")
    before = attachments.digests(certified.shop.attachments)
    with pytest.raises(RefusedError, match="needs the role lead"):
        serviced(certified, photographs=[seen], hands=certified.hands("03"))

    assert attachments.digests(certified.shop.attachments) == before


def test_a_part_comes_off_and_other_wood_goes_on(
    certified: Loft, tmp_path: Path
) -> None:
    """The old wood is gone for good, and only that part is open."""
    entry = top_off(certified, photographs=[picture(tmp_path / "top.png")])
    lot = certified.receive()
    certified.number(lot)
    with pytest.raises(RefusedError, match="closed, but for the top that was taken"):
        certified.allot(SERIAL, "neck", f"{lot}-01")
    certified.allot(SERIAL, "top", f"{lot}-01")

    assert entry.event["boards"] == list(OLD_TOP)
    with certified.shop.store.reading() as session:
        assert session.get_one(Board, OLD_TOP[0]).off_idx == entry.index
        codes = [board.code for board in boards_in(session, SERIAL)]
    assert codes == ["L26-002-01", f"{lot}-01.A", f"{lot}-01.B"]
    assert audit(certified.shop).findings == ()
    rebuild(certified.shop)


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"part": "back"}, "has no back on it: of its parts top and neck can come off"),
        (
            {"fate": "sold"},
            "'sold' is no fate of a part: say kept, destroyed and owner",
        ),
        ({"serial": "26-0002-6"}, "has no certificate yet"),
        ({"reason": ""}, "the reason has 1 to"),
    ],
)
def test_no_part_comes_off_that_is_not_there(
    certified: Loft, said: dict[str, Any], why: str
) -> None:
    """Nothing is recorded, and the wood stays where it is."""
    certified.begin()
    size = certified.shop.store.head().size
    with pytest.raises(LedgerError, match=why):
        top_off(certified, **said)

    assert certified.shop.store.head().size == size


def test_each_way_out_and_home_is_an_entry(certified: Loft) -> None:
    """It can leave again once it is home, and what is out is listed with its days."""
    first = sent(certified, until="2026-01-05")
    with certified.shop.store.reading() as session:
        (row,) = away(certified.shop, session, "2026-01-09")
        assert (row.trip.idx, row.overdue_days) == (first, 4)
        assert away(certified.shop, session, "2026-01-05")[0].overdue_days == 0
    home(certified, condition="as it left")
    second = sent(certified, errand="sale")

    with certified.shop.store.reading() as session:
        assert [trip.idx for trip in trips_of(session, SERIAL)] == [first, second]
        assert away(certified.shop, session, "2026-01-09") == []
    assert audit(certified.shop).findings == ()


def test_whither_it_went_stays_out_of_the_log(certified: Loft) -> None:
    """The vault keeps it, and forgets it with whoever said it."""
    index = sent(certified, errand="loan", to="Amélie Rousset, Lyon")
    shop = certified.shop

    assert b"Rousset" not in shop.store.record(index)
    with shop.store.reading() as session:
        (row,) = away(shop, session, "2026-01-05")
        assert row.to == "Amélie Rousset, Lyon"
        assert trip_words(shop, session, row.trip).startswith(
            "it left on 2026-01-05 for Amélie Rousset, Lyon (loan, entry"
        )
    shop.vault.forget(*shop.vault.commitments("reason"))
    with shop.store.reading() as session:
        (row,) = away(shop, session, "2026-01-05")
        assert row.to is None
        assert "for a place that is not kept here (" in trip_words(
            shop, session, row.trip
        )


def test_whither_an_old_entry_says_it_went_is_still_told(certified: Loft) -> None:
    """As first it was said, it stands in the log."""
    old = InstrumentSentV1(serial=SERIAL, on="2026-01-05", to="Lyon", errand="loan")
    certified.say(old)
    with certified.shop.store.reading() as session:
        (row,) = away(certified.shop, session, "2026-01-05")

    assert row.to == "Lyon"


def test_what_is_out_does_not_leave_and_what_is_home_does_not_return(
    certified: Loft,
) -> None:
    """Both refusals tell when it left, and by which entry."""
    with pytest.raises(RefusedError, match="is at home: nobody entered that it left"):
        home(certified)
    index = sent(certified)
    with pytest.raises(
        RefusedError, match=rf"is out: it left on 2026-01-05 .* entry {index}\)"
    ):
        sent(certified)
    back = home(certified)
    with pytest.raises(
        RefusedError, match=rf"at home: it left on 2026-01-05 .*\(entry {back}\)"
    ):
        home(certified)


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"until": "2026-01-08"}, "due home on 2026-01-08, before that"),
        ({"until": "soon"}, "is no day"),
        ({"on": "2026-01-10"}, "is still to come"),
        ({"on": "2026-01-04"}, "was begun on 2026-01-05 and cannot have left on"),
        (
            {"on": "2026-01-07"},
            "on 2026-01-07 26-0001-8 was out: it left on 2026-01-06",
        ),
        ({"to": ""}, "the place has 1 to"),
        ({"serial": "26-0009-1"}, "no instrument"),
    ],
)
def test_a_trip_has_days_that_can_be(
    certified: Loft, said: dict[str, Any], why: str
) -> None:
    """It leaves before it comes home, and never while it is out."""
    certified.clock.moment = certified.clock.moment.replace(day=9)
    sent(certified, on="2026-01-06")
    home(certified, on="2026-01-08")
    with pytest.raises(LedgerError, match=why):
        sent(certified, **said)


def test_nothing_comes_home_before_it_left(certified: Loft) -> None:
    """Both days are named."""
    sent(certified)
    with pytest.raises(RefusedError, match=r"left on 2026-01-05 .* back on 2026-01-04"):
        home(certified, on="2026-01-04")


def test_a_trip_that_never_was_is_struck(certified: Loft) -> None:
    """Then it is at home, as before."""
    index = sent(certified)
    corrections.correct(
        certified.shop, index, reason="another one left", hands=certified.hands("12")
    )
    with pytest.raises(RefusedError, match="is at home"):
        home(certified)


def test_service_is_told_as_it_was_said(certified: Loft) -> None:
    """With the measures that no view holds; a struck one is not told."""
    retopped(certified)
    gone = serviced(certified, "polished").index
    corrections.correct(
        certified.shop, gone, reason="another one", hands=certified.hands()
    )
    with certified.shop.store.reading() as session:
        ((_, said),) = service.services_said(certified.shop, session, SERIAL)

    assert said.measures == (Measure(what="mass", mass_mg=1_990_000),)


def test_a_part_that_is_off_is_named_once(certified: Loft) -> None:
    """It cannot come off twice."""
    top_off(certified)
    with pytest.raises(NotFoundError, match="has no top on it: of its parts neck"):
        top_off(certified)


@pytest.mark.parametrize("errand", ["show", "loan", "service"])
def test_what_is_still_being_built_is_not_sold(certified: Loft, errand: str) -> None:
    """It may be shown, played in or worked on elsewhere; nobody signs a step of it."""
    serial = certified.begin()
    with pytest.raises(RefusedError, match="still being built and is not sold: certif"):
        sent(certified, serial=serial, errand="sale")
    index = sent(certified, serial=serial, errand=errand)

    with pytest.raises(RefusedError, match=f"is out since 2026-01-05, entry {index}: "):
        certified.sign(serial, "join the top")
    home(certified, serial=serial)
    assert certified.sign(serial, "join the top") > index
    assert audit(certified.shop).findings == ()


@pytest.mark.parametrize(
    ("measure", "why"),
    [
        (
            Measure(what="Relief", mass_mg=18_000_000),
            "another unit than mm, in which e",
        ),
        (Measure(what="relief", length_um=-3_000), "nothing beyond 0.18.mm is known"),
    ],
)
def test_a_service_reads_a_thing_as_it_was_read_before(
    certified: Loft, measure: Measure, why: str
) -> None:
    """In the same kind of unit, and not far beyond; a little the other way may be."""
    size = certified.shop.store.head().size
    with pytest.raises(RefusedError, match=why):
        serviced(certified, measures=[measure])

    assert certified.shop.store.head().size == size
    serviced(certified, measures=[Measure(what="depth", length_um=7_000)])
    with pytest.raises(RefusedError, match=f"in which entry {size} read it"):
        serviced(certified, measures=[Measure(what="depth", mass_mg=7_000)])
