"""The way of each wood from the forest to the thing, as plain values ready to print."""

from collections.abc import Hashable, Sequence
from typing import Literal, NamedTuple

from ledger.trade.consignment import Item, Shown
from ledger.trade.forms.spans import RUN, runs, spans
from ledger.trade.tables import FINISHED_FOR_MUSIC, form_for

Stage = Literal["grew", "supplied", "lot", "board", "part", "thing"]
# In the order of the way: what each is called, and what to do where nothing is known.
STAGES: dict[Stage, tuple[str, str]] = {
    "grew": ("grew in", "not known; ask the supplier in which country it was cut"),
    "supplied": ("supplied by", "not known; nobody is on record as its supplier"),
    "lot": ("came in as", "no lot on record; ask who had it before"),
    "board": ("numbered as", "no board on record"),
    "part": ("made into", "no part on record"),
    "thing": ("goes as", "nothing on record that it goes in"),
}
# Shell and bone come in by the batch, and no board is numbered of them.
OF_ANIMALS: dict[Stage, tuple[str, str]] = {
    "grew": ("came from", "not known; ask in which country it was taken"),
    "supplied": STAGES["supplied"],
    "lot": ("came in as", "no batch on record; ask who had it before"),
    "part": STAGES["part"],
    "thing": STAGES["thing"],
}


# A board that goes as wood was made into nothing yet.
MEANT_FOR = ("meant for", "no part on record")
FINISHED = FINISHED_FOR_MUSIC | {"other_finished_products", "inlay", "part", "finished"}


def stage_words(stage: Stage, *, is_animal: bool, is_made: bool) -> tuple[str, str]:
    """Return what a stage is called, and what to do where nothing is known."""
    if stage == "part" and not is_made:
        return MEANT_FOR
    return (STAGES | OF_ANIMALS if is_animal else STAGES)[stage]


class Step(NamedTuple):
    """One step of the way, and how it is shown.

    said      Cameroon; Ferrante & Daughters, Val Corda; L24-011; as it may be shown
    day       YYYY-MM-DD, or empty
    document  D24-0009 export permit 0417, or empty
    entry     where it stands in the record; None where it does not
    """

    stage: Stage
    said: str
    day: str
    document: str
    entry: int | None
    shown: Shown
    is_first: bool = False  # of entries, one for each of several like pieces

    @property
    def as_shown(self) -> "Step":
        """Say "by a paper" only beside a paper, "by our own book" beside an entry."""
        shown = self.shown
        if shown == "document" and not self.document:
            shown = "diary"
        if shown == "diary" and self.entry is None:
            shown = "none"
        return self._replace(shown=shown)

    @property
    def is_gap(self) -> bool:
        """Whether nothing is known here, or nothing shows it."""
        return not self.said or self.shown == "none"


class Chain(NamedTuple):
    """The way of one item; a stage that nobody recorded is a gap."""

    thing: str
    taxon: str
    trade_name: str
    part: str
    steps: tuple[Step, ...]
    is_animal: bool = False
    is_made: bool = True  # into a part or an instrument, and goes as no raw wood
    pieces: int = 1  # like ones that are told as one

    @property
    def gaps(self) -> int:
        """How many steps are gaps."""
        return sum(step.is_gap for step in self.steps)


def chain(item: Item, steps: Sequence[Step]) -> Chain:
    """Return the way of an item in order, a gap for every stage that has no step."""
    whole: list[Step] = []
    is_animal = item.kind == "animal"
    asked = OF_ANIMALS if is_animal else STAGES
    for stage in STAGES:
        found = [step.as_shown for step in steps if step.stage == stage]
        if not found and stage in asked:
            found = [Step(stage, "", "", "", None, "none")]
        whole += found
    named = (item.thing, item.taxon, item.trade_name, item.part)
    is_made = form_for(item.form) in FINISHED
    return Chain(*named, tuple(whole), is_animal, is_made)


def told_once(chains: Sequence[Chain]) -> list[Chain]:
    """Return the ways, those of like pieces that follow each other as one.

    Pieces are alike that came the same steps and differ in their codes alone.
    """
    alike: dict[Hashable, dict[str, Chain]] = {}
    for each in chains:
        alike.setdefault(_likeness(each), {}).setdefault(each.thing, each)
    merged: dict[int, Chain] = {}
    left_out: set[int] = set()
    for ways in alike.values():
        for run in runs(list(ways)):
            if len(run) >= RUN:
                first, *others = (ways[code] for code in run)
                merged[id(first)] = _as_one(first, others, spans(run))
                left_out |= {id(each) for each in others}
    return [merged.get(id(each), each) for each in chains if id(each) not in left_out]


def _likeness(way: Chain) -> Hashable:
    """Return what the ways of like pieces have in common: all but codes and entries."""
    steps = tuple(
        step._replace(said="" if step.said == way.thing else step.said, entry=None)
        for step in way.steps
    )
    return way._replace(thing="", steps=steps)


def _as_one(first: Chain, others: Sequence[Chain], codes: str) -> Chain:
    """Return one way for several pieces, under all their codes."""
    steps = tuple(
        step._replace(
            said=codes if step.said == first.thing else step.said,
            is_first=any(step.entry != other.steps[n].entry for other in others),
        )
        for n, step in enumerate(first.steps)
    )
    return first._replace(thing=codes, steps=steps, pieces=1 + len(others))
