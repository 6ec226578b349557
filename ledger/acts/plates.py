"""Which parts are plates, whether one is there to be gauged, and places on it."""

import re
from collections.abc import Iterator, Sequence
from typing import Final

from sqlmodel import Session

from ledger.acts.closing import part_at, require_not_void
from ledger.acts.names import meant_words, nearest
from ledger.acts.platefile import Gauged
from ledger.errors import NotFoundError, RefusedError
from ledger.quantities import millimetres
from ledger.scales import LARGEST
from ledger.views.allotting import stays_in
from ledger.views.builds import Build, signed_steps
from ledger.views.certificates import certificates_of
from ledger.views.models import parts_of
from ledger.views.said import entry_said

FEWEST, MOST = 3, 200
THINNEST_UM, THICKEST_UM = 300, 60_000
SHORTEST_UM, LONGEST_UM = 100_000, 1_200_000
WIDEST_UM = 800_000
# What a maker calls the wide faces of a body, and what else an instrument is made of.
# Common practice, no source.
PLATES: Final = frozenset(
    {"top", "back", "soundboard", "belly", "table", "front", "cap", "plate"}
)
OTHERS: Final = frozenset(
    re.findall(
        r"\w+",
        "side sides rib ribs rim rims neck fingerboard fretboard headplate head bridge "
        "tailpiece pickguard bar bars block blocks lining linings binding bindings "
        "purfling heel brace braces rosette body saddle nut strip wedge inlay pickup "
        "bridgeplate veneer",
    )
)
SMALL_PLATES: Final = frozenset({"bridge", "head", "heel"})
CLOSING: Final = "close the box"
# Later than any moment that is on record.
AFTER_ALL: Final = "9999"


def require_part(session: Session, build: Build, part: str) -> None:
    """Refuse a part that the model does not have."""
    parts = parts_of(session, build.model, build.version)
    if part not in parts:
        raise NotFoundError(
            f"{build.model} has no part {part!r}: it has {', '.join(parts)}"
            f"{meant_words(nearest(part, parts))}"
        )


def is_plate(part: str) -> bool | None:
    """Tell whether a part is a plate by its name, or None of a shop's own word.

    The last word that says anything counts: a top brace is a brace, a walnut cap a cap.
    Of parts in one name, such as back and sides, one plate is enough.
    """
    found = [_is_plate(each) for each in re.split(r" and |[&+,/]", part.casefold())]
    if True in found:
        return True
    return False if False in found else None


def _is_plate(name: str) -> bool | None:
    words = re.findall(r"[^\W\d_]+", name)
    known = [n for n, word in enumerate(words) if word in PLATES | OTHERS]
    if not known:
        return None
    last = known[-1]
    is_small = words[last] == "plate" and bool(SMALL_PLATES & set(words[:last]))
    return words[last] in PLATES and not is_small


def require_plate(
    session: Session, build: Build, part: str, *, is_late: bool
) -> tuple[str, ...]:
    """Refuse what is no plate of an instrument, or has no wood; return what is odd.

    is_late  told of an earlier day, on which it may have had wood that is off now
    """
    require_not_void(session, build.serial)
    require_part(session, build, part)
    known = is_plate(part)
    if known is False:
        raise RefusedError(
            f"no plate is called {part!r}: what is graduated is a top, a back, or "
            f"whatever else is a plate of {build.model}"
        )
    had = any(
        stay.part == part and stay.how != "struck"
        for stay in stays_in(session, build.serial)
    )
    if part_at(session, build.serial, part, LARGEST) is None and not (is_late and had):
        why = "no wood any more" if had else "no wood yet"
        raise RefusedError(
            f"the {part} of {build.serial} has {why}: allot it with flitchbook build "
            f"allot" + (", or say with --happened-at when it was gauged" if had else "")
        )
    if known is None:
        return (f"whether {part!r} is a plate nobody knows here: see that it is one",)
    return ()


def closed_notes(session: Session, build: Build, moment: str | None) -> Iterator[str]:
    """Say that a plate was closed in at a moment, by a certificate or with its box.

    moment  None is now
    """
    serial = build.serial
    ask = "see that it is this plate, and give --happened-at if it was gauged before"
    if moment is not None:
        ask = f"see that it is this plate, and that {moment} is right"
    issued = [
        row
        for row in certificates_of(session, serial)
        if entry_said(session, row.idx).at <= (moment or AFTER_ALL)
    ]
    closed = [
        step
        for step in signed_steps(session, serial)
        if step.step.casefold() == CLOSING
        and step.meaning == "did"
        and step.moment <= (moment or AFTER_ALL)
    ]
    if issued:
        yield (
            f"{serial} has its certificate {issued[-1].number}, by entry "
            f"{issued[-1].idx}, and its build is closed: {ask}"
        )
    elif closed:
        yield f"the box of {serial} was closed by entry {closed[-1].idx}: {ask}"


def require_size(what: str, um: int, most: int) -> None:
    """Refuse a length or a width that no plate has."""
    if not SHORTEST_UM <= um <= most:
        raise RefusedError(
            f"a plate is {millimetres(SHORTEST_UM)} to {millimetres(most)} {what}, not "
            f"{millimetres(um)}: look at the unit"
        )


def require_places(places: Sequence[Gauged], length: int, width: int) -> None:
    """Refuse too few or too many places, and the first that no plate has."""
    if not FEWEST <= len(places) <= MOST:
        raise RefusedError(
            f"a plate is gauged at {FEWEST} to {MOST} places, not at {len(places)}: "
            f"give each with its thickness"
        )
    first: dict[tuple[int, int], str] = {}
    for place in places:
        _require_on_plate(place, length, width)
        at = place.x_um, place.y_um
        if at in first:
            raise RefusedError(
                f"{place.where} is the place of {first[at]}, x "
                f"{millimetres(place.x_um)}, y {millimetres(place.y_um)}: leave one out"
            )
        first[at] = place.where


def _require_on_plate(place: Gauged, length: int, width: int) -> None:
    if not THINNEST_UM <= place.thickness_um <= THICKEST_UM:
        raise RefusedError(
            f"{place.where}: no plate is {millimetres(place.thickness_um)} thick, it "
            f"has {millimetres(THINNEST_UM)} to {millimetres(THICKEST_UM)}: look at "
            f"the unit"
        )
    if not 0 <= place.y_um <= length:
        raise RefusedError(
            f"{place.where}: y {millimetres(place.y_um)} is not on the plate, which "
            f"goes from 0 mm at its lower end to {millimetres(length)}: measure the "
            f"place or the plate again"
        )
    if 2 * abs(place.x_um) > width:
        raise RefusedError(
            f"{place.where}: x {millimetres(place.x_um)} is not on the plate, which "
            f"goes to {millimetres(width // 2)} on both sides of the centre line: "
            f"measure the place or the plate again"
        )
