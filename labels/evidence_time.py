"""The evidence in pictures: from the tree to the tune, at rest in the racks, the voice.

They are the plots that have sheets of their own, drawn into the width of a page.
"""

from collections.abc import Mapping
from dataclasses import replace

from labels import plot_seasoning, plot_timeline, plot_voice
from labels.blocks import Block
from labels.evidence_facts import Evidence
from labels.hatches import Hatch
from labels.marks import Box
from labels.page import Page, measure, rule, wrap_small, write, write_lines
from labels.plot_figure import ENTRIES, Figure, entries_said
from labels.plot_seasoning import Seasoning
from labels.plot_timeline_facts import Timeline, days_between, waited
from labels.plot_voice import Rail, Voice
from labels.sections import HEADING, NOTE, Frame
from labels.tongue import Tongue

BEFORE, UNDER_HEADING = 7.3, 2.2  # over a heading's baseline, and under its rule [mm]
NOTE_LEADING = 3.6
MOST_STRIP = 96.0  # how high a strip may become
PLOT_HEIGHT = 46.5
MOST_MODES = plot_voice.most_modes(PLOT_HEIGHT)
BETWEEN = 8.0  # two plots side by side
WEEK = 7
HEAD_STYLE = replace(HEADING, floor=8, may_shorten=True)


def head(
    page: Page, sides: tuple[float, float], y: float, words: str, said: str = ""
) -> None:
    """Set a heading over its rule, at its end what it is drawn from."""
    left, right = sides
    taken = measure(said, ENTRIES) + 3 if said else 0.0
    write(page, (left, y), words, HEAD_STYLE, within=right - left - taken)
    write(page, (right, y), said, ENTRIES, align="right")
    rule(page, sides, y + 1.7)


def blocks(
    frame: Frame, evidence: Evidence, say: Tongue, hatches: Mapping[str, Hatch]
) -> list[Block]:
    """Plan the strip over the whole width, then the two plots side by side."""
    found = []
    if evidence.timeline is not None:
        found.append(_strip(frame, evidence.timeline, say, hatches))
    if evidence.seasoning is not None or evidence.voice is not None:
        found.append(_side_by_side(frame, evidence, say))
    return found


def _strip(
    frame: Frame, plot: Timeline, say: Tongue, hatches: Mapping[str, Hatch]
) -> Block:
    wide = frame.right - frame.left
    style, lines = wrap_small(_strip_note(plot, say), NOTE, wide, 1)
    noted = NOTE_LEADING * len(lines)
    high = plot_timeline.height_for(plot, MOST_STRIP)
    top = BEFORE + UNDER_HEADING + noted + 2.2

    def draw(page: Page, y: float) -> None:
        said = entries_said(plot.heading.entries, say)
        level = y + BEFORE
        head(page, frame.sides, level, say("From the tree to the tune"), said)
        at = (frame.left, level + UNDER_HEADING + NOTE_LEADING)
        write_lines(page, at, lines, style, NOTE_LEADING)
        room = (frame.left, y + top, wide, high)
        figure = Figure(page=page, box=room, words=say)
        plot_timeline.draw_in(figure, room, plot, hatches)

    return Block(top + high, draw)


def _strip_note(plot: Timeline, say: Tongue) -> str:
    """Say what the strip found, and how to read it."""
    key = say("Hatched: in our racks. Black: in work. White: finished.")
    if not plot.racks or plot.certified_on is None:
        return key
    longest = max(plot.racks, key=lambda r: days_between(r.came_on, max(r.used_on)))
    number = max(days_between(plot.cut_on, plot.certified_on) // WEEK, 1)
    weeks = say.many(number, "{number} week", "{number} weeks")
    found = say(
        "Longest in our racks: {wait}; from the first step to the certificate: {weeks}."
    ).format(wait=waited(longest, say), weeks=weeks.format(number=number))
    return f"{found} {key}"


def _side_by_side(frame: Frame, evidence: Evidence, say: Tongue) -> Block:
    """Plan what was weighed at the left and what was heard at the right."""
    wide = (frame.right - frame.left - BETWEEN) / 2
    plots = [plot for plot in (evidence.seasoning, evidence.voice) if plot is not None]
    lefts = (frame.left, frame.left + wide + BETWEEN)
    top = BEFORE + UNDER_HEADING + NOTE_LEADING + 4.4

    def draw(page: Page, y: float) -> None:
        for left, plot in zip(lefts, plots, strict=False):
            level, room = y + BEFORE, (left, y + top, wide, PLOT_HEIGHT)
            said = entries_said(plot.heading.entries, say)
            title, note = _titles(plot, evidence.weighed, say)
            head(page, (left, left + wide), level, title, said)
            at = (left, level + UNDER_HEADING + NOTE_LEADING)
            write(page, at, note, replace(NOTE, may_shorten=True), within=wide)
            figure = Figure(page=page, box=room, words=say)
            _plot(figure, room, plot)

    return Block(top + PLOT_HEIGHT, draw)


def _titles(plot: Seasoning | Voice, part: str, say: Tongue) -> tuple[str, str]:
    """Return the heading of a plot, and the line that says what and where."""
    if isinstance(plot, Voice):
        said = say("Hz, and the mass of what was tapped")
        if (left := _without(plot)) > 0:
            more = say.many(
                left, "{number} mode has no room", "{number} modes have no room"
            )
            said = say("; ").join((said, more.format(number=left)))
        moved = len([rail for rail in plot.rails if rail.rungs]) > 1
        title = say("How the voice moved") if moved else say("Where the voice lies")
        return title, said
    name = plot.chosen.name if plot.chosen else ""
    said = say("{part} {board}; rings: the last three")
    if plot.siblings:
        said = say("{part} {board}; thin: others of its lot; rings: the last three")
    return say("Weighed in our racks"), said.format(part=say(part), board=name)


def _plot(figure: Figure, room: Box, plot: Seasoning | Voice) -> None:
    if isinstance(plot, Seasoning):
        # Which board it is stands over the plot already.
        chosen = replace(plot.chosen, name="") if plot.chosen else None
        plot_seasoning.draw_in(figure, room, replace(plot, chosen=chosen))
        return
    drawn = replace(plot, rails=tuple(map(_lowest, plot.rails)))
    plot_voice.draw_in(figure, room, drawn, plot_voice.NARROW)


def _lowest(rail: Rail) -> Rail:
    """Return a stage with the lowest of its modes, as many as there is room for."""
    order = sorted(rail.rungs, key=lambda rung: rung.frequency_millihertz)
    return replace(rail, rungs=tuple(order[:MOST_MODES]))


def _without(plot: Voice) -> int:
    """Return how many modes of the stage with most there is no room for."""
    return max(len(rail.rungs) for rail in plot.rails) - MOST_MODES
