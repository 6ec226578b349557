"""Plain rows tell what the objects of a view tell."""

from sqlmodel import Session, col, select

from ledger.views.boards import Board, PlainBoard, plain_boards
from ledger.views.rows import columns_of, plain_rows
from tests.skerrymoor import TOP, Loft


def test_plain_rows_are_the_columns_of_a_view(supplied: Loft) -> None:
    """What was not written yet is among them."""
    codes = supplied.number(supplied.receive(), TOP)
    with supplied.shop.store.reading() as session:
        board = session.get_one(Board, codes[0])
        board.place = "shelf B"
        query = columns_of(Board, ("code", "place"))
        rows = plain_rows(session, query.where(col(Board.code) == codes[0]))

    assert [tuple(row) for row in rows] == [(codes[0], "shelf B")]


def test_a_plain_board_says_what_a_board_says(supplied: Loft) -> None:
    """Each column of it, in the order of the numbering."""
    supplied.number(supplied.receive(), TOP, TOP)
    with supplied.shop.store.reading() as session:
        told, plain = _both(session)

    assert plain == told
    assert len(plain) == 4


def _both(session: Session) -> tuple[list[PlainBoard], list[PlainBoard]]:
    boards = session.exec(select(Board).order_by(col(Board.code))).all()
    names = PlainBoard._fields
    told = [PlainBoard(**{n: getattr(board, n) for n in names}) for board in boards]
    return told, plain_boards(session, col(Board.struck_idx).is_(None))
