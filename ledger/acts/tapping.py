"""Boards tapped and heard: which mode is which is said by whoever holds the board.

plate   along   held 0.224 of the length from both ends, tapped in the middle
        across  held 0.224 of the width from both edges, tapped at an edge
        twist   held on the two centre lines, tapped at a corner
bar     held 0.224 of the length from both ends, tapped in the middle
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from pathlib import Path
from typing import Literal

from sqlmodel import Session, col, select

from ledger.acts.boards import one_board
from ledger.acts.filing import kept_file
from ledger.acts.hearing import Rung, band_around, heard_in
from ledger.acts.measuring import density_of, is_worked, species_of
from ledger.acts.plausible import UnlikelyError, require_density
from ledger.acts.shop import Hands, Shop
from ledger.acts.stiffness import Piece, Stiffness, frequencies, stiffness
from ledger.errors import RefusedError
from ledger.events import BoardTapped
from ledger.events.board import Mode, Reading
from ledger.log.entry import Entry
from ledger.views.boards import Board
from ledger.views.readings import Tapping, readings_of

HeldAs = Literal["plate", "bar"]
MODES: dict[HeldAs, tuple[Mode, ...]] = {
    "plate": ("along", "across", "twist"),
    "bar": ("bar",),
}
# From balsa to snakewood, with room to spare: common practice, no source.
LIKELY_GPA = {
    "e_along_gpa": (2.0, 30.0),
    "e_across_gpa": (0.05, 6.0),
    "g_gpa": (0.05, 6.0),
    "e_gpa": (0.2, 30.0),
}
ALONG = "e_along_gpa"
# Millihertz, where nobody says what to expect: half sets and backs; braces and necks.
USUAL_BAND: dict[HeldAs, tuple[int, int]] = {
    "plate": (40_000, 400_000),
    "bar": (60_000, 2_000_000),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Tapped:
    """A board that rang: its entry, what was read, what that comes to, and warnings."""

    entry: Entry
    board: str
    readings: tuple[Reading, ...]
    stiffness: Stiffness
    warnings: tuple[str, ...]


def band_for(held_as: HeldAs, expected: Mapping[Mode, int]) -> tuple[int, int]:
    """Return the band to listen to [mHz]: around what is expected, else the usual."""
    return band_around(expected, USUAL_BAND[held_as])


def require_board(shop: Shop, code: str) -> None:
    """Refuse a code of which no recording is filed: a set's, a lot's, a stranger's."""
    with shop.store.reading() as session:
        one_board(session, code)


def tap(
    shop: Shop,
    code: str,
    path: Path,
    *,
    held_as: HeldAs,
    band: tuple[int, int] | None = None,
    expected: Mapping[Mode, int],
    hands: Hands,
    as_read: bool = False,
) -> Tapped:
    """File a recording of a tapped board, and record what was read of each mode.

    expected  [mHz]  roughly where each mode lies; a bar of which one mode is heard
                     needs none
    band      [mHz]  what is listened to; else around what is expected

    Raises RefusedError where sizes or mass are lacking, where it stays open which mode
    is which, and where the board would be stiffer or softer than any wood.
    """
    with shop.store.reading() as session:
        _piece(session, one_board(session, code), held_as, as_read=as_read)
    listened = band or band_for(held_as, expected)
    heard = heard_in(path, listened, expected, _rung_as(held_as))
    digest, readings = heard.sha256, heard.readings
    with kept_file(shop, path, announced=digest) as turn:
        board = one_board(turn.session, code)
        piece = _piece(turn.session, board, held_as, as_read=as_read)
        _require_own_recording(turn.session, board.code, digest)
        _require_news(turn.session, board.code, digest, piece, readings)
        figures = stiffness(piece, frequencies(readings))
        if not as_read:
            _require_likely(board.code, piece, readings, figures)
        event = BoardTapped(
            board=board.code,
            held_as=held_as,
            length_um=piece.length_um,
            width_um=piece.width_um,
            thickness_um=piece.thickness_um,
            mass_mg=piece.mass_mg,
            recording_sha256=digest,
            low_millihertz=heard.low_millihertz,
            high_millihertz=heard.high_millihertz,
            method=heard.method,
            readings=readings,
        )
        return Tapped(
            entry=turn.say(event, hands),
            board=board.code,
            readings=readings,
            stiffness=figures,
            warnings=(*heard.warnings, *figures.warnings),
        )


def _rung_as(held_as: HeldAs) -> Rung:
    options = "--along, --across, --twist" if held_as == "plate" else "--at"
    return Rung(noun=f"a {held_as}", modes=MODES[held_as], options=options)


def _piece(session: Session, board: Board, held_as: HeldAs, *, as_read: bool) -> Piece:
    """Return a board's sizes and mass of this moment, which its figures rest on."""
    sizes = board.length_um, board.width_um, board.thickness_um
    length_um, width_um, thickness_um = sizes
    if length_um is None or width_um is None or thickness_um is None:
        raise RefusedError(
            f"board {board.code} has no length, width and thickness yet: measure it "
            f"first with flitchbook board measure"
        )
    if board.mass_mg is None or is_worked(session, board, {}):
        since = "" if board.mass_mg is None else " since it was worked"
        raise RefusedError(
            f"board {board.code} was not weighed{since}: weigh it first with "
            f"flitchbook board weigh"
        )
    density = density_of(board)
    if density is not None and not as_read:
        require_density(board.code, species_of(session, board.code), density)
    return Piece(
        held_as=held_as,
        length_um=length_um,
        width_um=width_um,
        thickness_um=thickness_um,
        mass_mg=board.mass_mg,
    )


def _require_own_recording(session: Session, code: str, digest: str) -> None:
    """Refuse a recording that was filed for another board: one of them is wrong."""
    query = select(Tapping).where(
        col(Tapping.digest) == digest,
        col(Tapping.board) != code,
        col(Tapping.struck_idx).is_(None),
    )
    other = session.exec(query).first()
    if other is not None:
        raise RefusedError(
            f"this recording is of board {other.board}, filed by entry {other.idx}: "
            f"take the recording of {code}, or strike that entry first"
        )


def _require_news(
    session: Session,
    code: str,
    digest: str,
    piece: Piece,
    readings: Sequence[Reading],
) -> None:
    """Refuse what stands on record: the same file, read alike, of the same wood."""
    query = select(Tapping).where(
        col(Tapping.digest) == digest,
        col(Tapping.board) == code,
        col(Tapping.mass_mg) == piece.mass_mg,
        col(Tapping.thickness_um) == piece.thickness_um,
        col(Tapping.struck_idx).is_(None),
    )
    new = {(each.mode, each.frequency_millihertz) for each in readings}
    for row in session.exec(query).all():
        rows = readings_of(session, row.idx)
        if {(each.mode, each.frequency_millihertz) for each in rows} == new:
            raise RefusedError(
                f"this recording of {code} was read alike by entry {row.idx} already: "
                f"nothing more was recorded; tap the board again for more"
            )


def _require_likely(
    code: str, piece: Piece, readings: Sequence[Reading], figures: Stiffness
) -> None:
    """Refuse figures that no wood has: then a mode was taken for another."""
    name = _unlikely(figures)
    if name is None:
        return
    least, most = LIKELY_GPA[name]
    what = name.removesuffix("_gpa").replace("_", " ").capitalize()
    raise UnlikelyError(
        f"{what} of board {code} would be {figures.figures[name].value:.3g} GPa, and "
        f"no wood has less than {least:g} or more than {most:g}: see which mode is "
        f"which{_exchanged(piece, readings)} and whether the sizes are right"
    )


def _unlikely(figures: Stiffness) -> str | None:
    """Return the first figure that no wood has."""
    for name, (least, most) in LIKELY_GPA.items():
        found = figures.figures.get(name)
        if found and not least <= found.value <= most:
            return name
    return None


def _exchanged(piece: Piece, readings: Sequence[Reading]) -> str:
    """Offer the two modes that were taken for each other, where wood comes of it."""
    for one, two in combinations(readings, 2):
        names = {one.mode: two.mode, two.mode: one.mode}
        other = [replace(r, mode=names.get(r.mode, r.mode)) for r in readings]
        figures = stiffness(piece, frequencies(other))
        if _unlikely(figures) is None and ALONG in figures.figures:
            return (
                f" ({one.mode} and {two.mode} exchanged give E along "
                f"{figures.figures[ALONG].value:.3g} GPa)"
            )
    return ""
