"""What is said of the taps of a recording: which are left out, and what makes doubt."""

from collections.abc import Iterator, Sequence
from statistics import mean, median

from ledger.wood.hit import Hit
from ledger.wood.hum import mains_near

# Fewer taps say too little about how far taps differ.
ENOUGH_TAPS = 5
# Taps that are louder than the room by less than this many times are pointed out.
LEAST_ABOVE = 4.0
QUIETER = "set the recorder lower, or tap more softly, and record again"


def about_taps(taps: Sequence[Hit], *, share: float) -> tuple[str, ...]:
    """Return what is to be said of taps of which some are used.

    share  part by which the highest peaks are pressed, or nought

    Source: the limits are the house's own.
    """
    return (
        *_about_used(taps),
        *_about_room(taps),
        *([f"{_pressed(share)}, and Q may read too high: {QUIETER}"] if share else []),
        *_about_hum(taps),
    )


def too_pressed(share: float) -> str:
    """Return why taps whose peaks are pressed so much are not believed.

    Source: see ledger.wood.overload.
    """
    return f"{_pressed(share)}, too much to tell Q: {QUIETER}"


def no_tap(taps: Sequence[Hit]) -> str:
    """Return why none of the taps is believed, and what to do.

    Source: see ledger.wood.hit for each reason.
    """
    used = sum(tap.rejected is None for tap in taps)
    if not taps:
        return (
            "no tap stands out of the noise: tap harder, come closer with the "
            "microphone, or find what else is heard"
        )
    reasons = "; ".join(
        f"at {_listed(times)} s {reason}" for reason, times in _rejected(taps).items()
    )
    count = f"only {used}" if used else "none"
    return f"{count} of {len(taps)} taps can be used: {reasons}; record again"


def _rejected(taps: Sequence[Hit]) -> dict[str, list[float]]:
    """Return for each reason the times of the taps that it ruled out."""
    found: dict[str, list[float]] = {}
    for tap in taps:
        if tap.rejected is not None:
            found.setdefault(tap.rejected, []).append(tap.at)
    return found


def _listed(times: Sequence[float]) -> str:
    """Return times in words, not more than five of them."""
    shown = ", ".join(f"{time:.2f}" for time in times[:5])
    return f"{shown} and {len(times) - 5} more" if len(times) > 5 else shown


def _about_used(taps: Sequence[Hit]) -> Iterator[str]:
    used = sum(tap.rejected is None for tap in taps)
    for reason, times in _rejected(taps).items():
        yield f"not used is what sounds at {_listed(times)} s: {reason}"
    if used < ENOUGH_TAPS:
        yield (
            f"{used} of at least {ENOUGH_TAPS} taps: how far taps differ is not well "
            f"known"
        )


def _about_room(taps: Sequence[Hit]) -> Iterator[str]:
    """Warn of a room that is nearly as loud as the taps, or louder things than they."""
    above = [tap.above_noise for tap in taps if tap.rejected is None]
    if median(above) < LEAST_ABOVE:
        yield (
            f"the room is nearly as loud as the tap, which is {median(above):.1f} "
            f"times as loud: tap harder or nearer, or wait for quiet"
        )
    if len(taps) > 2 * len(above):
        yield (
            f"only {len(above)} of {len(taps)} sounds are used, and they may be "
            f"something else than the board: wait for quiet, and record again"
        )


def _pressed(by: float) -> str:
    return f"overloaded: the highest peaks are pressed by about {by:.1%}"


def _about_hum(taps: Sequence[Hit]) -> Iterator[str]:
    """Warn of what may be a mode of the wood and was taken for hum, line by line."""
    lines: dict[float, list[float]] = {}
    for tap in taps:
        for frequency in tap.hum:
            line = mains_near(frequency, within=1.0)
            if line is not None:
                lines.setdefault(line, []).append(frequency)
    for line, heard in sorted(lines.items()):
        if 2 * len(heard) >= len(taps):
            yield (
                f"{mean(heard):.2f} Hz dies away and was left out all the same, for it "
                f"lies on mains hum of {line:g} Hz: if it is the board, wait until it "
                f"is silent before each tap"
            )
