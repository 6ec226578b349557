"""What an owner's booklet takes from the record: what was so with its certificate."""

from dataclasses import replace

from cli.papers import owner_certificate
from cli.papers_booklet import owner_booklet
from labels.booklet import NotWood, OwnerBooklet
from ledger.acts import models
from ledger.acts.certificates import certificate_paper
from ledger.acts.materials import BatchDraft, receive_batch
from ledger.acts.rooms import measure_room
from ledger.events.build import Measure, PartWeighed
from ledger.events.route import PlannedPart
from tests import aftersale, skerrymoor
from tests.shops import certified, certified_folder, loft, staffed_folder
from tests.skerrymoor import Loft

__all__ = ["certified", "certified_folder", "loft", "staffed_folder"]

ROOM = {"least_humidity_ppm": 400_000, "most_humidity_ppm": 500_000, "fresh_days": 7}


def booklet(loft: Loft, number: str = aftersale.FIRST) -> OwnerBooklet:
    """Return what the booklet of a certificate shows."""
    paper = certificate_paper(loft.shop, number)
    shown = owner_certificate(loft.shop, paper, "V#1", "en")
    return owner_booklet(loft.shop, shown, paper.event)


def aired(loft: Loft, humidity_ppm: int) -> int:
    """Measure the air of the crib; return the entry."""
    measure_room(
        loft.shop,
        room="crib",
        temperature_millikelvin=293_150,
        humidity_ppm=humidity_ppm,
        hands=loft.hands("02"),
    )
    return loft.shop.store.head().size - 1


def test_the_air_is_that_before_the_certificate(loft: Loft) -> None:
    """The last reading then, and the limits of then; nothing said later counts."""
    loft.adopt(
        **skerrymoor.WITHOUT_REST
        | {"id": "dry", "room": ROOM | {"least_humidity_ppm": 410_000}}
    )
    aired(loft, 430_000)
    read = aired(loft, 441_000)
    number = loft.issue(loft.build())
    aired(loft, 600_000)
    loft.say(loft.strike(read))
    told = booklet(loft, number)

    assert told.air is not None and told.air.entry == read
    assert (told.air.room, told.air.humidity) == ("crib", "44\u2009%RH")
    assert told.room is not None and told.room[:2] == ("41", "50\u2009%")


def test_it_was_made_in_the_year_of_the_first_certificate(certified: Loft) -> None:
    """Whatever year a later certificate is of."""
    paper = certificate_paper(certified.shop, aftersale.FIRST)
    shown = owner_certificate(certified.shop, paper, "V#1", "en")
    later = replace(shown, issued="2031-03-01")
    told = owner_booklet(certified.shop, later, paper.event)

    assert told.year == int(shown.issued[:4]) != 2031


def test_limits_that_allow_any_air_say_nothing(certified: Loft) -> None:
    """Nor does a room that nobody measured."""
    told = booklet(certified)

    assert told.room is None and told.air is None


def test_the_wood_of_the_top_moves_as_a_handbook_has_it(certified: Loft) -> None:
    """Spruce by its radial shrinkage; reckoned by hand from equations 4-5 and 13-2.

    3.9 / (3000 - 78) = 0.00133 a percent: 2.3 % less of water is 0.31 mm of 100 mm,
    2.5 % more is 0.34 mm.
    """
    moves = booklet(certified).moves

    assert moves is not None
    assert (moves.dry, moves.usual, moves.damp) == ("6\u2009%", "8\u2009%", "11\u2009%")
    assert (moves.shrinks, moves.swells) == ("0.3\u2009mm", "0.3\u2009mm")
    assert moves.source.startswith("Wood Handbook, equation 4-5; ")


def test_bone_that_went_in_before_is_named_by_its_species(certified: Loft) -> None:
    """A bone nut of a service is on the next booklet, and not on the one before."""
    draft = BatchDraft(
        what="nut and saddle blanks",
        use="bone",
        species="Bos taurus",
        received_on=certified.shop.today(),
    )
    batch = receive_batch(certified.shop, draft, certified.hands())
    aftersale.serviced(certified, "new nut", materials=[batch])
    newer = certified.issue(aftersale.SERIAL)

    assert booklet(certified).not_wood == ()
    assert booklet(certified, newer).not_wood == (NotWood("Bos taurus", "bone"),)


def test_the_set_up_is_what_was_measured_from_the_stringing_on(loft: Loft) -> None:
    """Not the heat of the booth, nor every air; what a service measured is told too."""
    loft.supplier()
    lot = loft.receive()
    loft.number(lot, skerrymoor.TOP, skerrymoor.NECK)
    strung = replace(skerrymoor.STEPS[1], materials=("strings",))
    models.define_model(
        loft.shop,
        name="Tidewarden",
        instrument="flat-top guitar",
        parts=[PlannedPart(part=part) for part in ("top", "neck")],
        steps=(skerrymoor.STEPS[0], strung),
        hands=loft.hands(),
    )
    serial = loft.begin()
    loft.allot(serial, "top", f"{lot}-01")
    loft.allot(serial, "neck", f"{lot}-02")
    booth = Measure(what="booth temperature", temperature_millikelvin=294_150)
    lacquer = Measure(what="thickness of the finish", length_um=110)
    weighed = [PartWeighed(part=p, mass_mg=190_000) for p in ("top", "neck")]
    loft.sign(serial, "join the top", measures=[booth, lacquer], weighed=weighed)
    draft = BatchDraft(
        what="phosphor bronze 12", use="strings", received_on=loft.shop.today()
    )
    batch = receive_batch(loft.shop, draft, loft.hands())
    said = [
        Measure(what="mass", mass_mg=1_986_000),
        Measure(what="room humidity, measured", humidity_ppm=440_000),
        Measure(what="relief", length_um=180),
        Measure(what="set up at", humidity_ppm=450_000),
    ]
    loft.sign(serial, "brace", measures=said, materials=[batch])
    first = booklet(loft, loft.issue(serial)).set_up
    aftersale.serviced(loft, "set up", measures=[Measure(what="bow", length_um=120)])
    told = booklet(loft, loft.issue(serial)).set_up
    settled = Measure(what="relief, settled", length_um=200)
    aftersale.serviced(loft, "set up", measures=[settled])
    last = booklet(loft, loft.issue(serial)).set_up

    assert [row.label for row in first] == ["set up at", "relief"]
    assert [row.label for row in told] == ["bow", "set up at", "relief"]
    assert [row.label for row in last] == ["relief, settled", "bow", "set up at"]


def test_an_older_one_names_the_newest(certified: Loft) -> None:
    """And stays as it was otherwise."""
    before = booklet(certified)
    aftersale.serviced(certified)
    newer = certified.issue(aftersale.SERIAL)

    assert before.superseded_by == ""
    assert booklet(certified).superseded_by == newer
    assert booklet(certified, newer).superseded_by == ""
    assert booklet(certified).certificate.remarks == before.certificate.remarks
