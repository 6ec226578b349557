"""Which photographs count, may be shown, and are named by a certificate."""

from pathlib import Path

from ledger.acts import measuring, people
from ledger.acts.photographs import Pictured, chosen, pictures_at, showable
from tests import aftersale
from tests.shops import certified, certified_folder
from tests.skerrymoor import Loft

__all__ = ["certified", "certified_folder"]


def found(loft: Loft) -> list[Pictured]:
    """Return the photographs of the one instrument as of today."""
    with loft.shop.store.reading() as session:
        size = loft.shop.store.head().size
        return showable(session, pictures_at(session, aftersale.SERIAL, size))


def test_what_came_off_is_on_record_and_not_named(
    certified: Loft, tmp_path: Path
) -> None:
    """Nobody can compare the instrument with it; what was served is named."""
    broken, mended = (aftersale.picture(tmp_path / f"{n}.png", n) for n in (40, 90))
    off = aftersale.top_off(certified, photographs=[broken])
    served = aftersale.serviced(certified, photographs=[mended])
    pictures = found(certified)

    assert [(each.entry, each.part, each.is_off) for each in pictures] == [
        (off.index, "top", True),
        (served.index, "", False),
    ]
    assert [each.entry for each in chosen(pictures)] == [served.index]


def test_a_file_that_one_erased_person_signed_for_too_is_kept_back(
    certified: Loft, tmp_path: Path
) -> None:
    """Another filed it first, and the later entry was struck: it may show them."""
    loft = certified
    both, own = (aftersale.picture(tmp_path / f"{n}.png", n) for n in (40, 90))
    (first,) = measuring.photograph(
        loft.shop, "L26-001-01.A", both, face="front", hands=loft.hands("02")
    )
    (again,) = measuring.photograph(
        loft.shop, "L26-001-01.A", both, face="back", hands=loft.hands("03")
    )
    served = aftersale.serviced(loft, photographs=[own])
    loft.say(loft.strike(again.index))
    before = [each.entry for each in found(loft)]
    people.erase(loft.shop, loft.person("03").subject, loft.hands("12", "01"))

    assert before == [first.index, served.index]
    assert [each.entry for each in found(loft)] == [served.index]
