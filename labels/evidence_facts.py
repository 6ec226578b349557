"""What the evidence behind a certificate shows beside its rows, in plain values."""

from dataclasses import dataclass
from typing import Literal

from labels.plot_seasoning import Seasoning
from labels.plot_timeline_facts import Timeline
from labels.plot_voice_facts import Voice

Answer = Literal["needed", "ask", "not needed"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BorderRow:
    """A species in the instrument, its listing, and what the tables answer.

    `appendix` is empty where no listing was found, `annotation` where the row has none;
    `where` names the only populations that are listed, in ISO 3166 codes or regions.
    With `is_aged` no listing takes this wood in, but the sources are too old to rely
    on. Where no row stands for the name, or no source was read for it, nothing
    `is_looked_up`.
    """

    species: str
    parts: tuple[str, ...]
    answer: Answer
    appendix: str = ""
    annotation: str = ""
    where: str = ""
    is_aged: bool = False
    is_looked_up: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Border:
    """What the tables say of a finished instrument on a day; days are YYYY-MM-DD.

    `compiled` is the day of the tables, `oldest_source` that of the oldest of the
    newest sources they rest on, or empty. `start` and `ends` are the places between
    which it was asked, by their codes; without a start it was asked between the ends.
    """

    day: str
    compiled: str
    oldest_source: str
    start: str
    ends: tuple[str, ...]
    rows: tuple[BorderRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Photograph:
    """A photograph on file, made ready for paper: what it shows, and which file it is.

    It shows a `face` of a board, the instrument at a `step` or in service, or a `part`
    that came off it, and then no board is named. `digest`
    has the 64 hex digits of the file that was filed, and `jpeg` its picture, smaller.
    """

    day: str
    entry: int
    digest: str
    jpeg: bytes
    width: int
    height: int
    is_cropped: bool = False
    board: str = ""
    part: str = ""
    face: str = ""
    step: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """What stands behind a certificate; what the record does not have is None or empty.

    `weighed` is the part whose weights the seasoning shows. `unseen` are entries whose
    photographs could not be read, `more` how many others are on file; with
    `are_left_out` there are some, and none was to be shown.
    """

    timeline: Timeline | None = None
    seasoning: Seasoning | None = None
    weighed: str = ""
    voice: Voice | None = None
    border: Border | None = None
    photographs: tuple[Photograph, ...] = ()
    unseen: tuple[int, ...] = ()
    more: int = 0
    are_left_out: bool = False
