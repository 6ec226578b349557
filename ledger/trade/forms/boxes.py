"""The boxes of the official forms, and a form drawn up from answers."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Literal

from ledger.trade.confidence import is_from_memory
from ledger.trade.forms.worksheet import Answer, Box, office
from ledger.trade.reading import read_table

Table = Literal["cites_boxes", "union_boxes", "ppq505_blocks", "musical_boxes"]
# The answer of a box, or one for each of its cells by name.
Answers = Mapping[str, Answer | Mapping[str, Answer]]
Boxes = tuple[Box, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FormBox:
    """A box of a form: what goes in, whether once or for each row, and who writes."""

    box: str
    label: str
    what_goes_in: str
    per: str  # form or specimen
    writes: str  # holder or office
    sources: tuple[str, ...]
    confidence: str
    checked_on: date
    newest_source: date | None


@cache
def boxes_of(table: Table) -> tuple[FormBox, ...]:
    """Return the boxes of a form in their order.

    Source: each row names its own.
    """
    return read_table(FormBox, table)


def checked_on(table: Table) -> date:
    """Return the day on which the boxes of a form were last checked.

    Source: the newest `checked_on` of its rows.
    """
    return max(row.checked_on for row in boxes_of(table))


def newest_source(table: Table) -> date | None:
    """Return the newest source that was read for a form's boxes.

    Source: the newest `newest_source` of its rows.
    """
    days = [row.newest_source for row in boxes_of(table) if row.newest_source]
    return max(days, default=None)


def common_boxes(table: Table, answers: Answers) -> tuple[Boxes, Boxes]:
    """Return the boxes that stand once, with their answers: above the rows, and below.

    Source: the table of the form.
    """
    rows = boxes_of(table)
    first = next(place for place, row in enumerate(rows) if row.per == "specimen")
    parts = (rows[:first], rows[first:])
    above, below = (
        _answered([row for row in part if row.per == "form"], answers) for part in parts
    )
    return above, below


def row_boxes(table: Table, answers: Answers) -> Boxes:
    """Return the boxes of one row with their answers.

    Source: the table of the form.
    """
    rows = [row for row in boxes_of(table) if row.per == "specimen"]
    return _answered(rows, answers)


def from_memory(table: Table) -> tuple[str, ...]:
    """Return the boxes for which no printed form was read, as the form prints them.

    A box without a number goes by its label.

    Source: the confidence column of the table.
    """
    return tuple(
        row.box if row.box[0].isdigit() else row.label
        for row in boxes_of(table)
        if is_from_memory(row)
    )


def _answered(rows: Iterable[FormBox], answers: Answers) -> Boxes:
    """Return boxes with their answers; what an office writes needs none of ours."""
    boxes: list[Box] = []
    for row in rows:
        if row.box not in answers and row.writes == "office":
            boxes.append(_box(row, office(row.what_goes_in)))
            continue
        found = answers[row.box]
        if isinstance(found, Answer):
            boxes.append(_box(row, found))
        else:
            boxes += [_box(row, cell, name) for name, cell in found.items()]
    return tuple(boxes)


def _box(row: FormBox, found: Answer, label: str = "") -> Box:
    return Box(
        number=row.box,
        label=label or row.label,
        value=found.value,
        comes_from=found.comes_from,
        state=found.state,
        is_from_memory=is_from_memory(row),
        differs=found.differs,
    )
