"""Batches come in, are used up, and tell which instruments they went into."""

from typing import Any

import pytest

from ledger.acts import materials
from ledger.audit import audit
from ledger.errors import LedgerError
from ledger.events import InstrumentServiced, StepSigned
from ledger.views.materials import Material, papers_of
from tests.skerrymoor import Loft

SERIAL = "26-0001-8"


def received(loft: Loft, badge: str = "03", **facts: Any) -> str:
    """Receive a batch of hide glue, or of something else."""
    told = {"what": "hide glue", "use": "glue", "received_on": "2026-01-05"} | facts
    draft = materials.BatchDraft(**told)
    return materials.receive_batch(loft.shop, draft, loft.hands(badge))


def test_a_batch_keeps_what_stands_on_the_tin(supplied: Loft) -> None:
    """Its maker's number, its last day and its paper; it is finished once."""
    paper = supplied.document()
    code = received(
        supplied, lot_as_written=" 7714 ", expires_on="2026-06-30", documents=(paper,)
    )
    materials.finish_batch(supplied.shop, code, supplied.hands("03"))
    with supplied.shop.store.reading() as session:
        row = session.get_one(Material, code)
        papers = papers_of(session, code)

    assert (row.what, row.lot_as_written, papers) == ("hide glue", "7714", [paper])
    with pytest.raises(LedgerError, match=r"M26-001 was finished by entry \d+ already"):
        materials.finish_batch(supplied.shop, code, supplied.hands("03"))
    assert audit(supplied.shop).findings == ()


@pytest.mark.parametrize(
    ("facts", "why"),
    [
        ({"what": " "}, "the material has 1 to"),
        ({"use": "shell"}, "shell is of an animal: give --species"),
        ({"use": "bone"}, "bone is of an animal: give --species"),
        ({"received_on": "2026-13-01"}, "is no day"),
        ({"received_on": "2026-01-06"}, "still to come, and today is 2026-01-05"),
        ({"expires_on": "2026-01-04"}, "was past its day 2026-01-04 already"),
        ({"expires_on": "soon"}, "'soon' is no day"),
        ({"documents": ("D26-0009",)}, "there is no document D26-0009"),
        ({"badge": "12"}, r"receiving a batch needs the role lead or"),
    ],
)
def test_a_batch_that_cannot_be_is_refused(
    loft: Loft, facts: dict[str, Any], why: str
) -> None:
    """In one sentence, and nothing is recorded."""
    size = loft.shop.store.head().size
    with pytest.raises(LedgerError, match=why):
        received(loft, **facts)

    assert loft.shop.store.head().size == size


def test_steps_and_service_tell_where_a_batch_went(certified: Loft) -> None:
    """By entry, and nothing of another batch."""
    glue, other = received(certified), received(certified)
    step = StepSigned(
        serial=SERIAL, step="brace", meaning="assisted", materials=(glue,)
    )
    mended = InstrumentServiced(
        serial=SERIAL, on="2026-01-05", work="brace reglued", materials=(glue,)
    )
    entries = [certified.say(step, "03").index, certified.say(mended).index]
    with certified.shop.store.reading() as session:
        uses = materials.uses_of(session, glue)
        nowhere = materials.uses_of(session, other)
        with pytest.raises(LedgerError, match="there is no batch M26-009"):
            materials.uses_of(session, "M26-009")

    assert [use.idx for use in uses] == entries
    assert [(use.step, use.meaning) for use in uses] == [
        ("brace", "assisted"),
        ("brace reglued", "service"),
    ]
    assert nowhere == []
