"""Boards tapped and heard: which mode is which is said by whoever holds the board.

plate   along   held 0.224 of the length from both ends, tapped in the middle
        across  held 0.224 of the width from both edges, tapped at an edge
        twist   held on the two centre lines, tapped at a corner
bar     held 0.224 of the length from both ends, tapped in the middle
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import ceil, isfinite
from pathlib import Path
from typing import Literal

from sqlmodel import Session, col, select

from ledger.acts.boards import one_board
from ledger.acts.filing import kept_file
from ledger.acts.measuring import density_of, is_worked, species_of
from ledger.acts.plausible import UnlikelyError, require_density
from ledger.acts.shop import Hands, Shop
from ledger.acts.stiffness import Piece, Stiffness, frequencies, stiffness
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BoardTapped
from ledger.events.board import Mode, Reading
from ledger.log import attachments
from ledger.log.entry import Entry
from ledger.views.boards import Board
from ledger.views.readings import Tapping, readings_of
from ledger.wood import tap as ear
from ledger.wood.recording import read_recording

HeldAs = Literal["plate", "bar"]
MODES: dict[HeldAs, tuple[Mode, ...]] = {
    "plate": ("along", "across", "twist"),
    "bar": ("bar",),
}
# How far from what was expected a mode may lie.
NEAR = 0.15
# A second mode within this of what was expected leaves it open which one is meant.
EITHER = 0.02
MOST_MODES = 12
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
class Rung:
    """What can be heard of a thing: what it is called, its modes, how they are told."""

    noun: str
    modes: tuple[Mode, ...]
    options: str


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
    if not expected:
        return USUAL_BAND[held_as]
    return min(expected.values()) * 3 // 5, max(expected.values()) * 3 // 2


def require_board(shop: Shop, code: str) -> None:
    """Refuse a code of which no recording is filed: a set's, a lot's, a stranger's."""
    with shop.store.reading() as session:
        one_board(session, code)


def listen(path: Path, band: tuple[int, int]) -> ear.Heard:
    """Return every mode of a recording in a band [mHz]; nothing is recorded.

    Raises RefusedError for what is no recording, and where no tap can be used.
    """
    low, high = band
    if not 0 < low < high:
        raise RefusedError(
            f"a band from {low / 1000:g} to {high / 1000:g} Hz holds nothing: give the "
            f"lower edge first"
        )
    hertz = (low / 1000, high / 1000)
    return ear.hear(read_recording(path), band=hertz, modes=MOST_MODES)


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
    if not path.is_file():
        raise NotFoundError(f"there is no file {path}: name a recording")
    digest = attachments.digest_of(path)
    low, high = band or band_for(held_as, expected)
    heard = listen(path, (low, high))
    named = which_is_which(heard.modes, expected, _rung_as(held_as))
    readings = tuple(reading_of(name, mode) for name, mode in named.items())
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
            low_millihertz=low,
            high_millihertz=high,
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


def reading_of(name: Mode, mode: ear.Mode) -> Reading:
    """Return what was heard of a mode as the log keeps it; doubts are rounded up."""
    scatter = None if mode.scatter is None else ceil(mode.scatter * 1_000_000)
    return Reading(
        mode=name,
        frequency_millihertz=round(mode.frequency * 1000),
        uncertainty_millihertz=ceil(mode.u_frequency * 1000),
        q_milli=round(mode.q * 1000),
        q_uncertainty_milli=ceil(mode.u_q * 1000) if isfinite(mode.u_q) else None,
        taps=mode.taps,
        scatter_ppm=scatter,
    )


def which_is_which(
    modes: Sequence[ear.Mode], expected: Mapping[Mode, int], rung: Rung
) -> dict[Mode, ear.Mode]:
    """Return the mode that answers to each expected one [mHz], the lowest first.

    Raises RefusedError where that is open; the answer says what was heard.
    """
    foreign = [name for name in expected if name not in rung.modes]
    if foreign:
        raise RefusedError(
            f"{rung.noun} has the modes {', '.join(rung.modes)}, and no {foreign[0]}"
        )
    if not expected:
        return _only_mode(modes, rung)
    found = {name: _nearest(name, mhz, modes) for name, mhz in expected.items()}
    for (one, first), (two, second) in combinations(found.items(), 2):
        if first is second:
            raise RefusedError(
                f"{one} and {two} both come nearest to {first.frequency:.2f} Hz: say "
                f"better where each lies; {_heard(modes)}"
            )
    for name, mhz in expected.items():
        others = [mode for mode in modes if mode not in found.values()]
        _require_alone(name, mhz / 1000, found[name], others)
        _require_apart(name, found[name], modes)
    return dict(sorted(found.items(), key=lambda each: each[1].frequency))


def _only_mode(modes: Sequence[ear.Mode], rung: Rung) -> dict[Mode, ear.Mode]:
    if len(modes) == len(rung.modes) == 1:
        return {rung.modes[0]: modes[0]}
    raise RefusedError(
        f"{_heard(modes)}: say with {rung.options} roughly where each mode lies, by "
        f"how {rung.noun} was held and tapped; nothing was recorded"
    )


def _rung_as(held_as: HeldAs) -> Rung:
    options = "--along, --across, --twist" if held_as == "plate" else "--at"
    return Rung(noun=f"a {held_as}", modes=MODES[held_as], options=options)


def _nearest(name: Mode, mhz: int, modes: Sequence[ear.Mode]) -> ear.Mode:
    expected = mhz / 1000
    close = [m for m in modes if abs(m.frequency / expected - 1) <= NEAR]
    if not close:
        raise RefusedError(
            f"no mode is heard within {NEAR:.0%} of {expected:g} Hz for {name}; "
            f"{_heard(modes)}"
        )
    return min(close, key=lambda mode: abs(mode.frequency - expected))


def _require_alone(
    name: Mode, expected: float, chosen: ear.Mode, others: Sequence[ear.Mode]
) -> None:
    """Refuse where another mode might as well be the one that is meant."""
    off = abs(chosen.frequency - expected)
    for other in others:
        other_off = abs(other.frequency - expected)
        if (
            other_off <= max(2 * off, EITHER * expected)
            and other_off <= NEAR * expected
        ):
            raise RefusedError(
                f"both {chosen.frequency:.2f} and {other.frequency:.2f} Hz may be the "
                f"{name} of some {expected:g} Hz: say better where it lies, or tap "
                f"where only one of them rings"
            )


def _require_apart(name: Mode, chosen: ear.Mode, modes: Sequence[ear.Mode]) -> None:
    for other in modes:
        apart = abs(other.frequency - chosen.frequency)
        widths = chosen.frequency / chosen.q + other.frequency / other.q
        sure = 3 * (chosen.u_frequency + other.u_frequency)
        if other is not chosen and apart < max(widths / 2, sure):
            raise RefusedError(
                f"{name} at {chosen.frequency:.2f} Hz and a mode at "
                f"{other.frequency:.2f} Hz lie too close to tell apart: hold and tap "
                f"the board so that only one of them rings"
            )


def _heard(modes: Sequence[ear.Mode]) -> str:
    each = ", ".join(f"{mode.frequency:.2f} Hz (Q {mode.q:.0f})" for mode in modes)
    return f"heard {'is' if len(modes) == 1 else 'are'} {each}"


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
