"""What is struck counts for nothing, whichever view shows it; what is let is known."""

import pytest
from sqlmodel import SQLModel

from ledger.acts.copies import rebuild
from ledger.errors import TamperError
from ledger.events import BoardWeighed, CorrectionMade, OverrideGiven
from ledger.views import fold
from ledger.views.corrections import STRUCK, correction_of, override_for
from tests.ledger.views.forests import grown, lot
from tests.sentences import say_everything
from tests.skerrymoor import NECK, Loft

CODE = "L26-001-01"
LET = OverrideGiven(board=CODE, serial="26-0001-8", policy="loft 1", against=("young",))


@pytest.mark.parametrize("view", STRUCK, ids=lambda view: str(view.__tablename__))
def test_every_row_that_an_entry_gave_is_struck_with_it(
    certified: Loft, view: type[SQLModel]
) -> None:
    """Not one of them stays behind, and none of another entry goes too."""
    say_everything(certified)
    table = str(view.__tablename__)
    column = f"SELECT idx, struck_idx FROM {table}"  # noqa: S608 - our names
    with certified.shop.store.reading() as session:
        index = session.connection().exec_driver_sql(column).fetchall()[-1][0]
    by = certified.say(CorrectionMade(index=index)).index
    with certified.shop.store.reading() as session:
        rows = session.connection().exec_driver_sql(column).fetchall()

    assert {struck for idx, struck in rows if idx == index} == {by}
    assert by not in {struck for idx, struck in rows if idx != index}


def test_views_with_rows_that_can_be_struck_are_all_struck() -> None:
    """A view that is forgotten here would go on counting what was taken back."""
    able = {view for view in fold.TABLES if "struck_idx" in view.model_fields}

    assert able - {view for view in fold.TABLES if view.__name__ == "Board"} == set(
        STRUCK
    )


def test_a_correction_is_found_by_what_it_struck(loft_on_each: Loft) -> None:
    """On each database, and after everything is folded again."""
    loft_on_each.supplier()
    loft_on_each.number(loft_on_each.receive(), NECK)
    index = loft_on_each.say(BoardWeighed(board=CODE, mass_mg=1)).index
    by = loft_on_each.say(CorrectionMade(index=index)).index
    for _ in range(2):
        with loft_on_each.shop.store.reading() as session:
            row = correction_of(session, index)
            assert row is not None
            assert (row.idx, row.reason_commitment) == (by, None)
            assert correction_of(session, by) is None
        rebuild(loft_on_each.shop)


def test_the_newest_override_for_a_board_in_an_instrument_is_known(
    loft_on_each: Loft,
) -> None:
    """For just that board and that instrument."""
    for _ in range(2):
        newest = loft_on_each.say(LET).index

    with loft_on_each.shop.store.reading() as session:
        found = override_for(session, CODE, "26-0001-8")
        assert found is not None and (found.idx, found.policy) == (newest, "loft 1")
        assert override_for(session, CODE, "26-0002-6") is None
        assert override_for(session, f"{CODE}.A", "26-0001-8") is None


@pytest.mark.parametrize("index", [3, 4, 99])
def test_an_entry_strikes_only_one_before_it(index: int) -> None:
    """Itself and what is to come were never said."""
    said = [*lot(1, 2), CorrectionMade(index=index)]
    with pytest.raises(TamperError, match=f"entry {index} is struck by entry 3"):
        grown(said).__enter__()


def test_an_entry_is_struck_once() -> None:
    """Twice is damage; an entry that gave no rows is struck as well."""
    with grown([*lot(1, 2), CorrectionMade(index=0)]) as session:
        assert correction_of(session, 0) is not None
    twice = [CorrectionMade(index=1)] * 2
    with pytest.raises(TamperError, match="was taken by an entry before this one"):
        grown([*lot(1, 2), *twice]).__enter__()
