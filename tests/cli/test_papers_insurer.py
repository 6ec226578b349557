"""What a statement for an insurer takes from the record: everything up to today."""

from pathlib import Path

from cli.papers import owner_certificate
from cli.papers_insurer import insurer_statement
from labels.insurer import Counts, InsurerStatement
from ledger.acts import holds
from ledger.acts.certificates import certificate_paper
from ledger.events.build import Measure
from tests import aftersale
from tests.shops import certified, certified_folder
from tests.skerrymoor import Loft

__all__ = ["certified", "certified_folder"]


def statement(loft: Loft, number: str = aftersale.FIRST) -> InsurerStatement:
    """Return what the statement of a certificate shows."""
    paper = certificate_paper(loft.shop, number)
    shown = owner_certificate(loft.shop, paper, "V#1", "en")
    return insurer_statement(loft.shop, shown, paper.event)


def test_a_new_instrument_has_nothing_since(certified: Loft) -> None:
    """Its mass is the certificate's, and the page says of which entry."""
    told = statement(certified)

    assert told.since == () and told.photographs == ()
    assert told.counts == Counts(0, 0, 0, 0, 0)
    assert told.weighed.entry == told.certificate.entry
    assert f"{told.weighed.grams}" == told.certificate.measures[0].value


def test_a_part_that_came_off_is_told_before_the_next_certificate(
    certified: Loft, tmp_path: Path
) -> None:
    """With its photograph, which counts once however often it is filed."""
    seen = aftersale.picture(tmp_path / "top.png")
    gone = aftersale.top_off(certified, photographs=[seen])
    told = statement(certified)

    assert told.counts.parts == 1
    assert [(row.entry, row.text[:12]) for row in told.since] == [
        (gone.index, "top replaced")
    ]
    assert [photograph.entry for photograph in told.photographs] == [gone.index]
    assert told.as_of_entry == certified.shop.store.head().size - 1


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
    told = statement(certified)

    assert [row.text for row in told.since] == [
        "in doubt today: ask the maker before you rely on this page"
    ]
    holds.lift(certified.shop, doubt, reason="cleared", hands=certified.hands())
    assert statement(certified).since == ()
