"""The pictures of the demonstration's wood, drawn by the commands that anybody types.

Nothing is recorded for them: they show what the record holds.
"""

import io
from collections.abc import Callable
from contextlib import redirect_stdout
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from cli.context import Desk
from cli.printing import Place

# What is wanted of each half of a top: length, width and thickness.
SIZES = ("530mm", "200mm", "3.5mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One picture: its file, what is seen, the command's words, and who draws it."""

    name: str
    seen: str
    words: str
    draw: Callable[..., object]


class StoryDesk(Desk):
    """A desk in the story's shop, at the end of the story's last day."""

    def __init__(self, story: Any) -> None:
        super().__init__(shop=story.shop.folder, json=False)
        self._story = story

    def _open(self, *, of_any_edition: bool = False) -> Any:
        return self._story.shop


def draw(story: Any, folder: Path) -> list[Picture]:
    """Draw every picture as a PDF, and return what there is to see."""
    desk = StoryDesk(story)
    folder.mkdir()
    shown = pictures(story)
    for picture in shown:
        # What the commands print beside their pictures is for whoever types them.
        with redirect_stdout(io.StringIO()):
            picture.draw(desk, out=folder / picture.name)
    return shown


def pictures(story: Any) -> list[Picture]:
    """Return the pictures, in the order in which the wood went its way."""
    return [
        *_of_the_rack(story),
        *_of_the_instrument(story),
        *_of_what_is_left(story),
    ]


def _of_the_rack(story: Any) -> list[Picture]:
    from cli import board_bend, lot_map, lot_rest

    rack, tops, lot = _rack(story), _tops(story), story.lot
    ringed = " ".join(f"--chosen {code}" for code in tops)
    wanted = zip(("length", "width", "thickness"), SIZES, strict=True)
    sizes = " ".join(f"--{name} {size}" for name, size in wanted)
    return [
        Picture(
            name="seasoning.pdf",
            seen="how the judged sets came to rest, and who is ready",
            words=f"lot rest {' '.join(rack)} --board {story.looked_at}",
            draw=partial(lot_rest.rest, codes=rack, board=story.looked_at),
        ),
        Picture(
            name="spectrum.pdf",
            seen="how the chosen half rang, with the modes that were read",
            words=f"board spectrum {story.chosen}",
            draw=partial(board_bend.spectrum, board=story.chosen),
        ),
        Picture(
            name="wood-map.pdf",
            seen="density and stiffness set by set, the matched ringed",
            words=f"lot map {lot} {ringed}",
            draw=partial(lot_map.map_, codes=[lot], chosen=tops),
        ),
        Picture(
            name="match-cards.pdf",
            seen="tops for four instruments, two of which wait for theirs",
            words=f"build match --for top {sizes} --of {lot} --grade first "
            "--grade second --not-ready",
            draw=partial(_cards, story=story),
        ),
    ]


def _of_the_instrument(story: Any) -> list[Picture]:
    from cli import board_series, build_figure, build_voice, instrument_timeline

    return [
        Picture(
            name="tap-series.pdf",
            seen="the chosen half before and after it was planed",
            words=f"board taps {story.chosen}",
            draw=partial(board_series.taps, board=story.chosen),
        ),
        Picture(
            name="voice.pdf",
            seen="how the voice moved: plate, braced, closed, strung",
            words=f"build voice {story.serial}",
            draw=partial(build_voice.voice, serial=story.serial),
        ),
        Picture(
            name="figure.pdf",
            seen="which wood every part is of, from the front and from behind",
            words=f"build figure {story.serial}",
            draw=partial(build_figure.figure, serial=story.serial),
        ),
        Picture(
            name="timeline.pdf",
            seen="how long each wood waited, and who worked when",
            words=f"instrument timeline {story.serial}",
            draw=partial(instrument_timeline.timeline, serial=story.serial),
        ),
    ]


def _of_what_is_left(story: Any) -> list[Picture]:
    from cli import board_family, permit_stack, record, supplier_yield

    sawyer, plank = _sawyer(), _plank(story)
    return [
        Picture(
            name="family.pdf",
            seen="what the saw made of one plank, and where each piece is",
            words=f"board family {plank}",
            draw=partial(board_family.family, board=plank),
        ),
        Picture(
            name="stack.pdf",
            seen="what is left of the spruce, and who drew of it",
            words=f"lot stack {story.lot}",
            draw=partial(permit_stack.of_lot, lot=story.lot),
        ),
        Picture(
            name="for-the-sawyer.pdf",
            seen="what the sawyer may be told of the wood",
            words=f"supplier yield {sawyer.split()[0]} --for-sawyer",
            draw=partial(supplier_yield.yield_, name=sawyer, for_sawyer=True),
        ),
        Picture(
            name="witness-slip.pdf",
            seen="the newest checkpoint, to keep in another house",
            words="record checkpoint",
            draw=record.checkpoint,
        ),
    ]


def told(shown: list[Picture], flitchbook: str, folder: str) -> str:
    """Return a line for each picture, and one with the command that draws it."""
    return "\n".join(
        f"  {folder}/{each.name}: {each.seen}\n  {flitchbook} {each.words} --shop shop"
        for each in shown
    )


def _cards(desk: Desk, *, story: Any, out: Path) -> None:
    """Draw the cards of the match as it was found, before its tops were allotted."""
    from cli import match_card

    with desk.shop.store.reading() as session:
        cards = match_card.of_builds(desk.shop, session, story.matched, "top")
    match_card.put(cards, Place(out=out), day=desk.shop.today())


def _plank(story: Any) -> str:
    """Return the plank that the fingerboard was sawn from."""
    from ledger.views.boards import boards_in, parents_of

    with story.shop.store.reading() as session:
        held = {str(b.part): b.code for b in boards_in(session, story.serial)}
        return parents_of(session, held["fingerboard"])[0]


def _tops(story: Any) -> list[str]:
    """Return the sets that were matched."""
    from ledger.views.boards import set_of

    served = story.matched.assignment.served
    return [set_of(str(each.boards[0])) for each in served]


def _rack(story: Any) -> list[str]:
    """Return the judged sets that still lie in the rack."""
    from demo.tops import SHAKEN, TOPS

    # One went back, one was sold, and one is on the bench.
    gone = (f"{story.lot}-{SHAKEN:02d}", *_tops(story)[:2])
    codes = (f"{story.lot}-{top.number:02d}" for top in TOPS)
    return [code for code in codes if code not in gone]


def _sawyer() -> str:
    from demo.stock import VALDESUND

    return VALDESUND.name
