"""What an entry takes is looked for before it is taken."""

import pytest
from sqlalchemy import BigInteger, Integer

from ledger.errors import TamperError
from ledger.views import fold
from ledger.views.models import ModelPart
from ledger.views.taking import require_free, take, taken
from tests.skerrymoor import Loft

SMALL = {
    "harvested_idx",
    "idx",
    "allotted_idx",
    "became_idx",
    "struck_idx",
    "struck",
    "rejected_idx",
    "returned_idx",
    "consumed_idx",
    "reserved_idx",
    "off_idx",
    "ended_idx",
    "reworked_idx",
    "voided_idx",
    "finished_idx",
    "lifted_idx",
    "slip_idx",
    "lost_idx",
    "carried_idx",
    "notice_idx",
    "withdrawn_idx",
    "labels",
    "number",
    "prints",
    "position",
}


def part(name: str = "top") -> ModelPart:
    """Return the first part of a model."""
    return ModelPart(model="Tidewarden", version=1, position=0, part=name)


def test_a_row_is_taken_once(loft: Loft) -> None:
    """Also within one transaction, before anything is written."""
    with loft.shop.store.appending() as appending:
        take(appending.session, part())
        with pytest.raises(TamperError, match="modelpart Tidewarden 1 0 was taken"):
            take(appending.session, part("neck"))


def test_a_row_that_is_not_there_is_missed(loft: Loft) -> None:
    """With what it is and its key."""
    with loft.shop.store.appending() as appending:
        session = appending.session
        with pytest.raises(TamperError, match="there is no modelpart Tidewarden 1 0 "):
            taken(session, ModelPart, "Tidewarden", "1", "0")
        require_free(session, ModelPart, part="top")
        take(session, part())
        with pytest.raises(TamperError, match="modelpart top was taken"):
            require_free(session, ModelPart, part="top")

        assert taken(session, ModelPart, "Tidewarden", "1", "0").part == "top"


@pytest.mark.parametrize("view", fold.TABLES, ids=lambda view: str(view.__tablename__))
def test_a_view_has_room_for_any_number_that_can_be_said(view: type) -> None:
    """An entry may say 2^53 - 1; four bytes hold places in the log and counts only."""
    columns = fold._table(view).columns
    small = {
        column.name
        for column in columns
        if isinstance(column.type, Integer) and not isinstance(column.type, BigInteger)
    }

    assert small <= SMALL
