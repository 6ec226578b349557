"""How a paper gets to a printer: --print with a queue of the system's own spooler.

    place = printing.place(out, queue)      first, before anything is worked out
    number = printing.put(shop, place, pdf, title="Build tag 26-0001-8", record=record)

The spooler is told the size of the leaf in millimetres and to leave its scale alone.
It has its own copy once `lp` has ended, so what it is handed is a scratch file that
lies there until then. What is recorded of a print is rehearsed before and said after:
a paper that the spooler refuses is in no entry, and whoever may not say that it was
printed is told so while the tray is empty.

Source: lp(1) and lpstat(1) of CUPS for the options and the names of media;
print-scaling is a job attribute of IPP (PWG 5100.16), and `none` is the paper's size.
"""

import subprocess
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from shutil import which
from tempfile import TemporaryDirectory
from typing import Annotated, Any, Literal, TypeVar

import typer

from cli import show
from ledger.errors import RefusedError
from ledger.languages import Language
from ledger.scales import in_a_row

OutOption = Annotated[
    Path | None, typer.Option(help="Where the PDF goes; not needed with --print.")
]
PrintOption = Annotated[
    str,
    typer.Option(
        "--print",
        metavar="QUEUE",
        help="Hand it to this printer, by the name that the system's spooler has for "
        "it.",
    ),
]
DotsOption = Annotated[
    Literal["203", "300", "600"] | None,
    typer.Option(
        "--dpi",
        help="For a head that takes only dots, so many to the inch: a PNG of one bit "
        "instead of the PDF.",
    ),
]
LanguageOption = Annotated[
    Language | None,
    typer.Option(help="The language of its fixed words; else the shop's own."),
]
LONGEST_SECONDS = 120
# By the names that CUPS has for them, upright [mm].
SHEETS = {
    "A4": (210.0, 297.0),
    "A5": (148.0, 210.0),
    "A6": (105.0, 148.0),
    "Letter": (215.9, 279.4),
}
ROUNDED_MM = 0.05
# What is turned over like a leaf of a book, as lp(1) names it and as people are told.
SHORT_EDGE = "two-sided-short-edge"
TURN_OVER = " Print both sides, turned over the short edge, at 100 %."
Told = TypeVar("Told")


class SpoolerRefusedError(RefusedError):
    """The spooler did not take a paper: surely nothing of it is printed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a paper goes: into a file, to a printer, both, or nowhere.

    dots  of a printer's head to the inch: a PNG of one bit instead of the PDF
    """

    out: Path | None = None
    queue: str = ""
    dots: Any = None

    def __bool__(self) -> bool:
        return self.out is not None or bool(self.queue)

    def __str__(self) -> str:
        file = [str(self.out)] if self.out else []
        return " and ".join(file + ([f"printer {self.queue}"] if self.queue else []))

    def told(self) -> dict[str, str | None]:
        """Return where it went, for a program."""
        file = {"file": str(self.out) if self.out else None}
        return file | ({"queue": self.queue} if self.queue else {})


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """What the spooler is handed at once; sides as lp(1) names them, or the queue's."""

    queue: str
    data: bytes
    ending: str
    media: str
    title: str
    sides: str = ""


def place(out: Path | None, queue: str = "", dots: str | None = None) -> Place:
    """Return where a paper goes; refuse a file that is there, and an unknown queue."""
    if out is None and not queue:
        raise typer.BadParameter("say where it goes: give --out, --print, or both")
    chosen = maybe(out, queue, dots)
    if out is not None and dots and out.suffix.casefold() != ".png":
        raise RefusedError(
            f"{out} does not end in .png, and --dpi makes a PNG: name another with "
            f"--out"
        )
    if out is not None:
        show.require_new(out)
        if not dots and out.suffix.casefold() != ".pdf":
            raise RefusedError(
                f"{out} does not end in .pdf, and this makes a PDF: name another with "
                f"--out"
            )
    return chosen


def maybe(out: Path | None, queue: str = "", dots: str | None = None) -> Place:
    """Return where a picture goes that need not go anywhere."""
    if queue:
        _require_queue(queue)
    return Place(out=out, queue=queue, dots=int(dots) if dots else None)


def put(
    shop: Any,
    place: Place,
    pdf: bytes,
    *,
    title: str,
    record: Callable[[Any], Told],
    sides: str = "",
    is_private: bool = False,
) -> Told:
    """Write a paper, hand it over, and record it; return what the record says.

    Where one of the three is refused nothing is recorded, and no file stays.
    """
    from ledger.acts.rehearsal import rehearse

    with new_files(place, pdf, is_private=is_private) as leaves:
        if place.queue:
            rehearse(shop, record)
        _hand_over_each(place, leaves, title=title, sides=sides)
        return record(shop)


def bring(place: Place, pdf: bytes, *, title: str, sides: str = "") -> None:
    """Write a paper that is in no entry, and hand it over."""
    with new_files(place, pdf) as leaves:
        _hand_over_each(place, leaves, title=title, sides=sides)


def _hand_over_each(
    place: Place, leaves: Sequence[bytes], *, title: str, sides: str = ""
) -> None:
    for leaf in leaves if place.queue else ():
        hand_over(job(place, leaf, title=title, sides=sides))


@contextmanager
def new_files(
    place: Place, pdf: bytes, *, is_private: bool = False
) -> Iterator[list[bytes]]:
    """Write a paper where it was asked for, and give what a printer is to be handed.

    For a head that takes dots this is a picture of every leaf, and of several files
    each gets a number.
    """
    leaves = dotted(pdf, place.dots) if place.dots else [pdf]
    with ExitStack() as stack:
        for path, data in zip(_paths(place.out, len(leaves)), leaves, strict=False):
            stack.enter_context(show.new_file(path, data, is_private=is_private))
        yield leaves


def dotted(pdf: bytes, dots: Any) -> list[bytes]:
    """Return a picture of every leaf for a head of so many dots to the inch."""
    from labels import picture

    count = picture.pages(pdf)
    return [picture.for_head(pdf, page=page, head=dots) for page in range(count)]


def job(place: Place, leaf: bytes, *, title: str, sides: str = "") -> Job:
    """Return what the spooler is handed of a leaf, with its own size."""
    from labels import leaves, picture

    size = picture.size(leaf) if place.dots else leaves.size(leaf)
    return Job(
        queue=place.queue,
        data=leaf,
        ending=".png" if place.dots else ".pdf",
        media=media(size),
        title=title,
        sides=sides,
    )


def media(size: tuple[float, float]) -> str:
    """Return a size of paper [mm] as the spooler calls it: A4, Custom.51x22mm."""
    for name, sheet in SHEETS.items():
        pairs = zip(sorted(size), sheet, strict=True)
        if all(abs(mine - its) < ROUNDED_MM for mine, its in pairs):
            return name
    width, height = (f"{round(side, 2):g}" for side in size)
    return f"Custom.{width}x{height}mm"


def hand_over(job: Job) -> None:
    """Hand a paper to the spooler, from a scratch file that stays until it took it.

    Raises SpoolerRefusedError where it was not taken, RefusedError where nobody knows.
    """
    with TemporaryDirectory(prefix="flitchbook-") as folder:
        file = Path(folder) / f"paper{job.ending}"
        file.write_bytes(job.data)
        said = ["-d", job.queue, "-o", f"media={job.media}", "-o", "print-scaling=none"]
        said += ["-o", f"sides={job.sides}"] if job.sides else []
        said += ["-n", "1", "-t", job.title, "--", str(file)]
        done = _run("lp", *said)
    if done.returncode > 0:
        raise SpoolerRefusedError(
            f"printer {job.queue} did not take it ({_complaint(done)}): see to the "
            f"printer, and print it again"
        )
    if done.returncode < 0:
        raise RefusedError(
            f"lp was cut off, and printer {job.queue} may have it or not: look into "
            f"its tray, and print it again"
        )


def _require_queue(queue: str) -> None:
    """Refuse a printer that this system does not know, and name those it does."""
    if which("lp") is None:
        raise RefusedError(
            "this system has no lp to print with: write the file with --out, and print "
            "it at 100 %"
        )
    known = _queues()
    if known is not None and queue not in known:
        there = in_a_row(known) if known else "none"
        raise RefusedError(
            f"there is no printer {queue}: this system has {there}; choose one with "
            f"--print"
        )


def _queues() -> list[str] | None:
    """Return the printers of this system; None where nobody can tell them."""
    if which("lpstat") is None:
        return None
    done = _run("lpstat", "-e")
    return None if done.returncode else done.stdout.split()


def _run(*command: str) -> subprocess.CompletedProcess[str]:
    try:
        # No shell reads it, and the queue is one word of it whatever stands in it.
        return subprocess.run(  # noqa: S603
            command,
            capture_output=True,
            check=False,
            encoding="utf-8",
            errors="replace",
            stdin=subprocess.DEVNULL,
            timeout=LONGEST_SECONDS,
        )
    except subprocess.TimeoutExpired:
        raise RefusedError(
            f"{command[0]} gave no answer for {LONGEST_SECONDS} s: see that the "
            f"spooler runs, and look into the printer's tray before you print again"
        ) from None


def _complaint(done: subprocess.CompletedProcess[str]) -> str:
    lines = (done.stderr or done.stdout).split("\n")
    return next((line.strip() for line in lines if line.strip()), "it did not say why")


def _paths(out: Path | None, count: int) -> Sequence[Path]:
    """Return the files of so many leaves; of several each gets a number."""
    if out is None:
        return []
    if count == 1:
        return [out]
    wide = len(str(count))
    numbers = (f"{number:0{wide}}" for number in range(1, count + 1))
    return [out.with_name(f"{out.stem}-{number}{out.suffix}") for number in numbers]
