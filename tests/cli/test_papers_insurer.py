"""What a statement for an insurer takes from the record: everything up to today."""

from pathlib import Path

from cli.papers import owner_certificate
from cli.papers_insurer import insurer_statement
from labels.insurer import Counts, InsurerStatement
from ledger.acts import holds, measuring, people, thefts
from ledger.acts.certificates import certificate_paper
from ledger.events.build import Measure
from ledger.log import attachments
from tests import aftersale, handed
from tests.shops import certified, certified_folder
from tests.skerrymoor import TOP, Loft

__all__ = ["certified", "certified_folder"]


def statement(loft: Loft, number: str = aftersale.FIRST) -> InsurerStatement:
    """Return what the statement of a certificate shows."""
    paper = certificate_paper(loft.shop, number)
    shown = owner_certificate(loft.shop, paper, "V#1", "en")
    return insurer_statement(loft.shop, shown, paper.event)


def test_a_new_instrument_has_nothing_since(certified: Loft) -> None:
    """Its mass is the certificate's, and the page says of which entry."""
    told = statement(certified)

    assert not (told.today or told.gone or told.photographs or told.lost)
    assert told.told == told.certificate.remarks
    assert told.counts == Counts()
    assert told.weighed.entry == told.certificate.entry
    assert f"{told.weighed.grams}" == told.certificate.measures[0].value


def test_a_part_that_came_off_is_open_until_another_takes_its_place(
    certified: Loft, tmp_path: Path
) -> None:
    """It is not called replaced; its photograph counts however often it is filed."""
    seen = aftersale.picture(tmp_path / "top.png")
    gone = aftersale.top_off(certified, photographs=[seen])
    told = statement(certified)

    assert told.counts == Counts(off=1)
    assert [(row.entry, row.text) for row in told.today] == [
        (gone.index, "top taken off 2026: L26-001-01 (kept)")
    ]
    assert [(each.part, each.is_replaced) for each in told.gone] == [("top", False)]
    assert [photograph.entry for photograph in told.photographs] == [gone.index]
    assert told.as_of_entry == certified.shop.store.head().size - 1
    lot = certified.receive()
    certified.number(lot, TOP)
    certified.allot(aftersale.SERIAL, "top", f"{lot}-01")
    now = statement(certified)
    assert now.today == () and now.counts == Counts(parts=1)
    assert now.told[0].text.startswith("top replaced 2026")
    assert [(each.part, each.is_replaced) for each in now.gone] == [("top", True)]


def test_a_report_comes_first_of_all(certified: Loft) -> None:
    """Before any doubt, without a name, and only while it stands."""
    told = handed.reported(certified)
    aftersale.top_off(certified)
    now = statement(certified).today

    assert now[0].entry == told.idx and len(now) == 2
    assert now[0].text == "reported: contact the maker before you buy or hand it over"

    thefts.withdraw(
        certified.shop,
        serial=aftersale.SERIAL,
        number=told.number,
        reason="found in a cellar",
        hands=certified.hands(),
    )

    assert [row.entry for row in statement(certified).today] == [now[1].entry]


def test_a_photograph_whose_file_is_gone_is_not_shown(
    certified: Loft, tmp_path: Path
) -> None:
    """The maker cannot show it: it is counted as lost."""
    seen = aftersale.picture(tmp_path / "top.png")
    aftersale.serviced(certified, photographs=[seen])
    (shown,) = statement(certified).photographs
    attachments.remove(certified.shop.attachments, shown.digest)
    told = statement(certified)

    assert told.photographs == () and told.lost == 1


def test_photographs_are_those_of_the_wood_too_and_of_nobody_erased(
    certified: Loft, tmp_path: Path
) -> None:
    """Of a step that is done again none counts; the newest comes first."""
    loft = certified
    wood, work = (aftersale.picture(tmp_path / f"{n}.png", n) for n in (40, 90))
    front = measuring.photograph(
        loft.shop, "L26-001-01.A", wood, face="front", hands=loft.hands("02")
    )
    served = aftersale.serviced(loft, photographs=[work])
    assert [each.entry for each in statement(loft).photographs] == [
        served.index,
        front[0].index,
    ]

    people.erase(loft.shop, loft.person("02").subject, loft.hands("12", "01"))
    assert [each.entry for each in statement(loft).photographs] == [served.index]


def test_the_newest_mass_counts(certified: Loft) -> None:
    """Of two services the later one's; other measures change no mass."""
    for grams, work in ((1_990, "new frets"), (1_987, "new nut")):
        measure = Measure(what="mass", mass_mg=grams * 1000)
        newest = aftersale.serviced(certified, work, measures=[measure])
    aftersale.serviced(certified, "set up anew")
    told = statement(certified)

    assert (told.weighed.grams, told.weighed.entry) == (1_987, newest.index)
    assert told.counts.services == 3


def test_a_doubt_of_today_is_told_without_its_reason(certified: Loft) -> None:
    """Until it is lifted; then the page says nothing of it."""
    doubt = holds.place(
        certified.shop,
        holds.find_doubted(certified.shop, "L26-001"),
        reason="a letter came",
        hands=certified.hands(),
    )
    for work in ("frets dressed", "frets dressed again"):
        aftersale.serviced(certified, work)
    told = statement(certified)

    assert [row.text[:8] for row in told.told[:2]] == ["service:"] * 2
    assert [row.text for row in told.today] == [
        "in doubt today: ask the maker before you rely on this page"
    ]
    holds.lift(certified.shop, doubt, reason="cleared", hands=certified.hands())
    assert statement(certified).today == ()
