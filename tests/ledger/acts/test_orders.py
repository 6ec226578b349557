"""What an instrument is to be: said at its beginning, changed, compared."""

from typing import Any

import pytest

from ledger.acts import models, orders, voiding
from ledger.acts.orders import Promised, Terms
from ledger.audit import audit
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BuildVoided, ConcessionGiven
from ledger.events.build import Measure
from ledger.events.route import PlannedPart
from ledger.log.entry import parse_record
from tests.skerrymoor import STEPS, TOP, Loft

NUT = ("width at the nut", "44 mm")
ASKED = Terms(due="2026-11-20", destination="FR", promised=(NUT, ("case", "brown")))


@pytest.fixture
def bench(loft: Loft) -> Loft:
    """Give a shop with a set of spruce and a model."""
    loft.supplier()
    loft.number(loft.receive(), TOP)
    loft.model()
    return loft


def begin(loft: Loft, terms: Terms = ASKED, order: str | None = "A-17") -> str:
    """Begin an instrument with its order."""
    return orders.begin(
        loft.shop,
        model="Tidewarden",
        run=None,
        order=order,
        terms=terms,
        hands=loft.hands(),
    )


def change(loft: Loft, serial: str, by: str = "01", **said: Any) -> int:
    """Change what was promised."""
    version = said.pop("version", None)
    return orders.change(
        loft.shop,
        serial=serial,
        terms=Terms(**said),
        version=version,
        reason="the owner asked for it",
        hands=loft.hands(by),
    ).index


def promised(loft: Loft, serial: str) -> Promised:
    """Return what was promised beside what was read."""
    with loft.shop.store.reading() as session:
        found = orders.promised(loft.shop, session, serial)
        session.expunge_all()
    return found


def kinds(loft: Loft) -> list[str]:
    """Return what the newest two entries say."""
    entries = [parse_record(record).entry for _, record in loft.shop.store.records()]
    return [entry.kind for entry in entries[-2:]]


def test_an_instrument_is_begun_with_its_order_in_one_turn(bench: Loft) -> None:
    """What it is for stands beside its serial, or nothing stands there at all."""
    serial = begin(bench)
    found = promised(bench, serial)

    assert kinds(bench) == ["build.begun/1", "build.ordered/1"]
    assert found.order is not None
    assert (found.order.order, found.order.due) == ("A-17", "2026-11-20")
    assert {(line.what, line.promised) for line in found.lines} == {*ASKED.promised}
    begin(bench, Terms(), None)
    assert kinds(bench)[-1] == "build.begun/1"
    assert audit(bench.shop).findings == ()


@pytest.mark.parametrize(
    ("terms", "said"),
    [
        (Terms(due="20 November"), "is no day such as"),
        (Terms(due="2026-02-30"), "is no day such as"),
        (Terms(destination="France"), "is no country of two letters"),
        (Terms(promised=(NUT, ("Width at  the nut", "45 mm"))), "promised twice"),
        (Terms(promised=(("", "44 mm"),)), "what is promised has 1 to"),
        (Terms(promised=(("nut", "x" * 201),)), "the promise has 1 to"),
    ],
)
def test_what_can_be_no_promise_begins_nothing(
    bench: Loft, terms: Terms, said: str
) -> None:
    """No serial is taken by it."""
    size = bench.shop.store.head().size
    with pytest.raises(RefusedError, match=said):
        begin(bench, terms)

    assert bench.shop.store.head().size == size


@pytest.mark.parametrize(
    ("order", "said"),
    [
        ("Amélie Rousset", "is no number: give the number that it has in your books"),
        ("17 amelie@example.org", "how somebody can be reached"),
        ("17, +33 (0)1 23 45 67 89", "how somebody can be reached"),
    ],
)
def test_an_order_is_a_number_and_no_name(bench: Loft, order: str, said: str) -> None:
    """Who ordered stands nowhere in the log, because nobody could take it out."""
    size = bench.shop.store.head().size
    with pytest.raises(RefusedError, match=said):
        begin(bench, order=order)
    with pytest.raises(RefusedError, match="how somebody can be reached"):
        begin(bench, Terms(promised=(("case", "to amelie@example.org"),)))

    assert bench.shop.store.head().size == size


def test_what_was_begun_without_an_order_gets_one_once(bench: Loft) -> None:
    """The office may say it; a second time a lead changes it instead."""
    serial = bench.begin()
    told: dict[str, Any] = {"serial": serial, "hands": bench.hands("12")}
    with pytest.raises(RefusedError, match="says nothing of"):
        orders.set_down(bench.shop, order=None, terms=Terms(), **told)
    entry = orders.set_down(bench.shop, order="A-18", terms=Terms(), **told)

    assert entry.kind == "build.ordered/1"
    with pytest.raises(RefusedError, match=f"set down in entry {entry.index}"):
        orders.set_down(bench.shop, order="A-19", terms=Terms(), **told)
    with pytest.raises(RefusedError, match="needs"):
        told["hands"] = bench.hands("03")
        orders.set_down(
            bench.shop, order="A-1", terms=Terms(), **(told | {"serial": bench.begin()})
        )


def test_a_change_keeps_what_was_promised_before(bench: Loft) -> None:
    """And says why; what is not said stays."""
    serial = begin(bench)
    index = change(bench, serial, due="2026-12-24", promised=(("case", "black"),))
    found = promised(bench, serial)
    newest = {line.what: line for line in found.newest()}

    assert found.order is not None
    assert (found.order.due, found.order.destination) == ("2026-12-24", "FR")
    assert newest["case"].promised == "black"
    assert [line.promised for line in found.before(newest["case"])] == ["brown"]
    assert newest[NUT[0]].promised == "44 mm"
    assert found.reasons == {index: "the owner asked for it"}


def test_a_change_follows_another_version(bench: Loft) -> None:
    """Of the model as it is set down, where every part with wood is one of it."""
    serial = begin(bench)
    bench.allot(serial, "top", "L26-001-01")
    for part in ("top", "back"):
        models.define_model(
            bench.shop,
            name="Tidewarden",
            instrument="flat-top guitar",
            parts=[PlannedPart(part=part)],
            steps=STEPS,
            hands=bench.hands(),
        )
    change(bench, serial, version=2)

    assert promised(bench, serial).build.version == 2
    with pytest.raises(RefusedError, match=r"version 3 of .* has no such part"):
        change(bench, serial, version=3)
    with pytest.raises(NotFoundError, match="no version 4: the newest one is 3"):
        change(bench, serial, version=4)


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({}, "changes nothing"),
        ({"due": "2026-11-20"}, "due day of .* is 2026-11-20 already"),
        ({"destination": "FR"}, "destination of .* is FR already"),
        ({"promised": (NUT,)}, "width at the nut of .* is 44 mm already"),
        ({"version": 1}, "version of .* is 1 already"),
        ({"due": "soon"}, "is no day"),
        ({"due": "2026-12-01", "by": "03"}, "needs the role lead"),
    ],
)
def test_a_change_that_is_none_is_refused(
    bench: Loft, said: dict[str, Any], why: str
) -> None:
    """And leaves no reason behind in the vault."""
    serial = begin(bench)
    before = bench.shop.vault.commitments("reason")
    with pytest.raises(RefusedError, match=why):
        change(bench, serial, **said)

    assert bench.shop.vault.commitments("reason") == before


def test_a_build_that_is_void_is_changed_no_more(bench: Loft) -> None:
    """Nor one that was never begun."""
    serial = begin(bench)
    voiding.void(bench.shop, serial=serial, reason="cancelled", hands=bench.hands())
    with pytest.raises(RefusedError, match="is void"):
        change(bench, serial, due="2026-12-24")
    with pytest.raises(NotFoundError, match="no instrument 26-0099-9"):
        change(bench, "26-0099-9", due="2026-12-24")


def test_what_was_read_stands_beside_what_was_promised(bench: Loft) -> None:
    """By the same name, however it is spaced; and what may stay as it is, with why."""
    serial = begin(bench)
    read = [
        Measure(what="Width at the Nut", length_um=44_200),
        Measure(what="relief", length_um=180),
    ]
    signed = bench.sign(serial, "join the top", measures=read)
    bench.say(ConcessionGiven(serial=serial, step="join the top", what="a small knot"))
    found = promised(bench, serial)
    row = found.measured(NUT[0])
    (nut,) = [line for line in found.lines if line.what == NUT[0]]
    (case,) = [line for line in found.lines if line.what == "case"]

    assert row is not None
    assert (row.value, row.idx) == (44_200, signed)
    assert orders.off_by(nut, row) == 200
    assert orders.off_by(case, row) is None
    assert orders.off_by(nut, None) is None
    assert [each.what for each in found.concessions] == ["a small knot"]
    assert found.measured("case") is None


def test_a_promise_of_a_part_is_told_with_its_wood(bench: Loft) -> None:
    """By the part's name; whether that is what was promised, people tell."""
    serial = begin(bench)
    change(bench, serial, promised=(("Top", "mountain spruce"),))
    assert promised(bench, serial).made_of("Top") == []
    bench.allot(serial, "top", "L26-001-01")

    woods = promised(bench, serial).made_of("Top")
    assert {wood.board for wood in woods} == {"L26-001-01.A", "L26-001-01.B"}
    assert {wood.species for wood in woods} == {("Picea abies",)}
    assert promised(bench, serial).made_of("case") == []


@pytest.mark.parametrize(
    ("terms", "said"),
    [
        (Terms(destination="ZZ"), "ZZ is the code of no country: look at the two"),
        (
            Terms(destination="FRANCE"),
            "'FRANCE' is no country of two letters .*write FR",
        ),
        (Terms(due="9999-12-31"), "is after 2125-12-12, and nobody builds for so long"),
        (Terms(due="2025-12-31"), "2025-12-31 is past, and today is 2026-01-05: give"),
        (Terms(promised=(("width at the nut", "44"),)), "'44' is no measure"),
    ],
)
def test_a_slip_in_an_order_costs_no_serial(
    bench: Loft, terms: Terms, said: str
) -> None:
    """It is said before the number is taken for ever."""
    size = bench.shop.store.head().size
    with pytest.raises(RefusedError, match=said):
        begin(bench, terms)

    assert bench.shop.store.head().size == size
    assert begin(bench) == "26-0001-8"


def test_a_country_is_recorded_in_capitals_and_is_the_same_in_small_ones(
    bench: Loft,
) -> None:
    """When it is set down, and when it is changed."""
    serial = begin(bench, Terms(destination="fr"))
    order = promised(bench, serial).order

    assert order is not None and order.destination == "FR"
    with pytest.raises(RefusedError, match=f"destination of {serial} is FR already"):
        change(bench, serial, destination="Fr")
    change(bench, serial, destination="jp")
    order = promised(bench, serial).order
    assert order is not None and order.destination == "JP"


@pytest.mark.parametrize("how", ["set down", "changed"])
def test_a_promise_is_looked_at_whenever_it_is_made(bench: Loft, how: str) -> None:
    """When it is set down later, and when it is changed."""
    serial = bench.begin()
    terms = Terms(promised=(("width at the nut", "44 kg"),))
    told: dict[str, Any] = {"serial": serial, "hands": bench.hands()}
    with pytest.raises(RefusedError, match="and it is measured in mm"):
        if how == "changed":
            orders.change(bench.shop, terms=terms, reason="a whim", **told)
        else:
            orders.set_down(bench.shop, order=None, terms=terms, **told)


def test_what_is_late_already_can_be_set_down_later(bench: Loft) -> None:
    """The serial is there by then; the terminal says that the day is past."""
    entry = orders.set_down(
        bench.shop,
        serial=bench.begin(),
        order="A-18",
        terms=Terms(due="2025-12-31"),
        hands=bench.hands(),
    )

    assert entry.event["due"] == "2025-12-31"


def test_the_other_instruments_of_an_order_are_known(bench: Loft) -> None:
    """One that will not be is of none."""
    first, second, third = begin(bench), begin(bench), begin(bench, order="A-18")
    with bench.shop.store.reading() as session:
        assert orders.others_of(session, first, "A-17") == [second]
        assert orders.others_of(session, third, "A-18") == []
    bench.say(BuildVoided(serial=second))
    with bench.shop.store.reading() as session:
        assert orders.others_of(session, first, "A-17") == []
