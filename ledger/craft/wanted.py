"""What a part asks of the wood for it, and every reason why a board does not do."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from ledger.craft.likeness import Candidate
from ledger.craft.policy import binomial
from ledger.errors import RefusedError
from ledger.quantities import millimetres

SIZES = (
    ("length_um", "length", "too short"),
    ("width_um", "width", "too narrow"),
    ("thickness_um", "thickness", "too thin"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What a model's part asks of each board: sizes, wood, grade, and rest.

    `pieces` is 2 for a bookmatched pair, whose sizes are those of one half. No species
    means any; no grade means any, and of several the first named is preferred.
    """

    part: str
    length_um: int
    width_um: int
    thickness_um: int
    pieces: int = 2
    species: tuple[str, ...] = ()
    grades: tuple[str, ...] = ()
    must_be_ready: bool = True

    def __post_init__(self) -> None:
        if self.pieces not in (1, 2):
            raise RefusedError(
                f"{self.part} of {self.pieces} pieces cannot be matched; it is 1 board "
                f"or a pair of 2"
            )
        for size, noun, _ in SIZES:
            if getattr(self, size) < 1:
                raise RefusedError(
                    f"the {noun} of {self.part} is {getattr(self, size)} µm: give what "
                    f"the model needs"
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One reason why a board does not do: in a word to be counted, and in full."""

    kind: str
    words: str


def faults_of(board: Candidate, wanted: Wanted) -> tuple[Fault, ...]:
    """Return every reason why a board does not do for a part; none where it does.

    Source: the model's sizes and the shop's policies; nature sets none.
    """
    faults = [*_sizes(board, wanted)]
    own = binomial(board.species)
    if wanted.species and not {own, own.partition(" ")[0]} & {
        binomial(wood) for wood in wanted.species
    }:
        words = f"{board.species} is not {' or '.join(wanted.species)}"
        faults.append(Fault(kind="of another wood", words=words))
    if wanted.grades and board.grade not in wanted.grades:
        has = f"graded {board.grade}"
        if board.grade is None:
            has = f"not graded for {wanted.part}"
        words = f"{has}, and {' or '.join(wanted.grades)} is wanted"
        kind = "not graded" if board.grade is None else "of another grade"
        faults.append(Fault(kind=kind, words=words))
    if wanted.must_be_ready:
        faults += [Fault(kind="not ready", words=reason) for reason in board.waits]
    return tuple(faults)


def tally(faults: Iterable[tuple[Fault, ...]]) -> str:
    """Say how many boards have each kind of fault, the most frequent first.

    12 too narrow, 3 not ready

    Source: the rule's own reasons.
    """
    counts = Counter(kind for each in faults for kind in {fault.kind for fault in each})
    rows = sorted(counts.items(), key=lambda row: (-row[1], row[0]))
    return ", ".join(f"{number} {kind}" for kind, number in rows)


def _sizes(board: Candidate, wanted: Wanted) -> list[Fault]:
    faults = []
    for size, noun, kind in SIZES:
        has, needs = getattr(board, size), getattr(wanted, size)
        if has is None:
            faults.append(
                Fault(kind="not measured", words=f"nobody measured its {noun}")
            )
        elif has < needs:
            words = (
                f"{noun} {millimetres(has)} is below the {millimetres(needs)} that "
                f"{wanted.part} needs"
            )
            faults.append(Fault(kind=kind, words=words))
    return faults
