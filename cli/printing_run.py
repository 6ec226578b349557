"""Runs of labels: handed over leaf by leaf, and taken up again where one was cut off.

Before each leaf a line is kept in the folder `printing` beside the log, and not in it:
which leaf of how many the spooler is about to get. The lines go once all is recorded.
After a power cut the newest line is what may have printed; all before it was taken.
A label that is printed twice bears the same code, and does no harm.
"""

import os
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256
from pathlib import Path
from typing import Annotated, Any

import typer

from cli import printing, show
from cli.printing import Place, SpoolerRefusedError
from ledger.acts.jottings import jot, newest_jotting
from ledger.errors import RefusedError

PRINTING = "printing"
FromOption = Annotated[
    int | None,
    typer.Option(
        "--print-from",
        min=1,
        help="Go on with a run that was cut off: with this label of it, or on paper "
        "this sheet; 1 prints all again.",
    ),
]
HANDING, REFUSED = "handing", "refused"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A leaf that the spooler is about to get, or did not take; noun is what it is.

    boards are those of the whole run, in a few words.
    """

    boards: str
    noun: str
    leaf: int
    of: int
    state: str

    @property
    def next(self) -> int:
        """The leaf to go on with; of the last one that may have printed, itself."""
        return self.leaf if self.state == REFUSED else min(self.leaf + 1, self.of)

    def asks(self) -> str:
        """Say how far the run came, as the question what to print."""
        came = "was not taken" if self.state == REFUSED else "may have printed"
        rest = f"{self.next} to {self.of}" if self.next < self.of else f"{self.of}"
        return (
            f"{self.noun} {self.leaf} of {self.of} {came}; print {rest}, or all again? "
            f"A {self.noun} that is printed twice bears the same code and does no harm"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Went:
    """Which leaves of a run were handed over, or that it is a file alone."""

    noun: str
    first: int
    of: int
    is_printed: bool

    def words(self, labels: int) -> str:
        """Say how many labels went, and of a file how to print it."""
        count = show.counted(labels, "label")
        if self.first > 1:
            last = self.first == self.of
            rest = f" {self.of}" if last else f"s {self.first} to {self.of}"
            return f"{count}, of them now {self.noun}{rest}."
        return f"{count}." if self.is_printed else f"{count}. Print at 100 %."

    def told(self) -> dict[str, int]:
        """Return which leaves were handed over, for a program."""
        return {"first": self.first, "last": self.of} if self.is_printed else {}


@dataclass(frozen=True, kw_only=True)
class Run:
    """Labels that follow one another into a printer, a leaf at a time."""

    folder: Path
    boards: Sequence[str]
    noun: str
    of: int

    @cached_property
    def path(self) -> Path:
        """Where its lines are: the same boards on as many leaves are the same run."""
        named = "\n".join([*self.boards, self.noun, str(self.of)])
        return self.folder / sha256(named.encode()).hexdigest()[:16]

    def keep(self, leaf: int, state: str) -> None:
        """Write a line, and bring it to the disk before the printer gets anything."""
        self.folder.mkdir(exist_ok=True)
        step = Step(
            boards=show.listed(self.boards),
            noun=self.noun,
            leaf=leaf,
            of=self.of,
            state=state,
        )
        jot(self.path, step)
        for each in (self.path, self.folder):
            handle = os.open(each, os.O_RDONLY)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)

    def forget(self) -> None:
        """Let the lines go: all is printed and recorded, or nothing was taken."""
        self.path.unlink()
        with suppress(OSError):
            self.folder.rmdir()  # other runs may lie in it


def put(
    shop: Any,
    place: Place,
    pdf: bytes,
    *,
    boards: Sequence[str],
    noun: str,
    begin: int | None,
    record: Callable[[Any], None],
) -> Went:
    """Write labels, hand them over leaf by leaf, and record them all.

    begin  the leaf to go on with, of a run that was cut off
    """
    if not place.queue:
        if begin:
            raise RefusedError(
                "--print-from goes on with a run at a printer: name it with --print"
            )
        with printing.new_files(place, pdf) as leaves:
            record(shop)
        return Went(noun=noun, first=1, of=len(leaves), is_printed=False)
    from ledger.acts.rehearsal import rehearse

    with printing.new_files(place, pdf) as leaves:
        apart = leaves if place.dots else _apart(pdf)
        folder = shop.folder / PRINTING
        run = Run(folder=folder, boards=boards, noun=noun, of=len(apart))
        _tell_others(run)
        first = _first(run, begin)
        rehearse(shop, record)
        for number in range(first, run.of + 1):
            _hand_over(run, number, place, apart[number - 1])
        record(shop)
        run.forget()
    return Went(noun=noun, first=first, of=run.of, is_printed=True)


def _apart(pdf: bytes) -> list[bytes]:
    from labels import leaves

    return leaves.apart(pdf)


def _hand_over(run: Run, number: int, place: Place, leaf: bytes) -> None:
    """Keep which leaf it is, and hand it over."""
    named = f"{run.noun} {number} of {run.of}"
    run.keep(number, HANDING)
    try:
        title = f"{named}, {show.listed(run.boards)}"
        printing.hand_over(printing.job(place, leaf, title=title))
    except SpoolerRefusedError as why:
        if number == 1:
            run.forget()
            raise
        run.keep(number, REFUSED)
        raise SpoolerRefusedError(
            f"{named}: {why}, with --print-from {number}"
        ) from None


def _first(run: Run, begin: int | None) -> int:
    """Return the leaf to begin with; it is asked for where a run was cut off."""
    step = newest_jotting(run.path, Step)
    if step is None:
        if begin:
            raise RefusedError(
                "no run of these boards was cut off: leave out --print-from, and name "
                "only the boards that you want"
            )
        return 1
    if begin:
        return _possible(step, begin)
    if sys.stdin.isatty():
        return _asked(step)
    raise RefusedError(
        f"{step.asks()}: give --print-from {step.next}, or --print-from 1 for all"
    )


def _asked(step: Step) -> int:
    show.notice(f"{step.asks()}.")
    said = typer.prompt(f"{step.next}, or an earlier number, or all", err=True).strip()
    if said.casefold() == "all":
        return 1
    if not (said.isascii() and said.isdecimal()):
        raise RefusedError(
            f"{said!r} is neither a number nor all, and nothing was printed: print it "
            f"again"
        )
    return _possible(step, int(said))


def _possible(step: Step, first: int) -> int:
    """Refuse to leave out what never reached the printer."""
    if not 1 <= first <= step.next:
        raise RefusedError(
            f"{step.noun} {step.next} of {step.of} is the next, and {first} is not: "
            f"go on with --print-from {step.next} or an earlier one"
        )
    return first


def _tell_others(run: Run) -> None:
    """Tell of other runs that were cut off."""
    for path in sorted(run.folder.glob("*")):
        step = newest_jotting(path, Step)
        if step and path != run.path:
            show.notice(
                f"{step.noun}s of {step.boards} were cut off at {step.leaf} of "
                f"{step.of}: print the same boards again, or remove {path} to forget it"
            )
