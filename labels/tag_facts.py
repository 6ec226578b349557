"""What a build tag shows, as plain values ready to print."""

from dataclasses import dataclass
from typing import NamedTuple

from labels.marks import State


class NextStep(NamedTuple):
    """The step that was next when the tag was printed."""

    number: int
    name: str
    is_gate: bool = False


class MaySign(NamedTuple):
    """A person who may sign the next step; an erased name is None.

    The condition is in words, such as "with a countersign only", or empty.
    """

    badge: str
    name: str | None
    condition: str = ""


class Wood(NamedTuple):
    """A part and the board it is made from; the next step's wood stands first."""

    part: str
    species: str
    board: str


class Signed(NamedTuple):
    """When a step was signed, MM-DD, and by which badge."""

    day: str
    badge: str


class TagStep(NamedTuple):
    """A step of the route, with who signed it, if anybody did."""

    number: int
    name: str
    is_gate: bool = False
    remark: str = ""
    signed: Signed | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildTag:
    """Everything both sides of a tag show.

    run is such as "Harbour Lights, 3 of 12", or empty. next_step is None once all is
    signed. state is the word of the plate and edge its edge; why says what is waited
    for, a line each. Under a sawn edge may_sign are those who may lift the hold.
    printed_at is YYYY-MM-DD HH:MM in zone. print_number is 2 for the first reprint.
    size counts the entries that the checkpoint vouches for, and root is their hash.
    """

    shop: str
    model: str
    kind: str
    run: str
    serial: str
    host: str
    body: str
    neck: str
    next_step: NextStep | None
    state: str
    edge: State
    may_sign: tuple[MaySign, ...]
    then: tuple[str, ...]
    wood: tuple[Wood, ...]
    hazards: tuple[str, ...]
    printed_at: str
    zone: str
    steps: tuple[TagStep, ...]
    checkpoint_note: str
    root: bytes
    ten_words: tuple[str, ...]
    size: int
    print_number: int = 1
    language: str = "en"
    why: tuple[str, ...] = ()
