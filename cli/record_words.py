"""The trade's words for what the pages of an exported record show.

The tables beside them keep their own names and their integers. Here a column is called
what the bench calls it, and an integer has its unit.
"""

import re
from collections.abc import Callable
from typing import Final

from ledger import quantities
from ledger.craft.measured import UNIT_WORDS, measure_words

# What is told of an instrument, under which heading, in this order.
HEADINGS: Final = {
    "build": "The instrument",
    "buildorder": "Its order",
    "promiseline": "What was promised",
    "changenote": "What was changed by a signed note",
    "certificate": "Certificates",
    "signedstep": "Steps that were signed",
    "stay": "Boards allotted to it",
    "match": "Boards matched for it",
    "override": "Boards used against a rule",
    "scrap": "Boards spoiled",
    "buildmeasure": "What was measured",
    "weighedpart": "Finished parts, weighed",
    "voicetapping": "Parts, tapped",
    "graduation": "Plates, gauged",
    "stepmaterial": "Batches that went into it",
    "stepgauge": "Gauges it was measured with",
    "stepphotograph": "Pictures on file",
    "concession": "What may stay as it is",
    "misstamp": "Numbers stamped by mistake",
    "printedtag": "Build tags printed",
    "trip": "Ways out of the shop",
    "service": "Work after it was finished",
    "servicematerial": "Batches that went into it later",
    "removedpart": "Boards taken off",
    "owner": "Owners entered",
    "transfercode": "Transfer slips",
    "theftreport": "Reports that it was taken",
    "board": "The boards of today, one by one",
}
# What a reader can do nothing with; the tables have it.
LEFT_TO_THE_TABLES: Final = frozenset(
    (
        "serial",
        "position",
        "subject",
        "claimant",
        "name_commitment",
        "status_token_sha256",
        "sha256",
    )
)
COLUMNS: Final = {
    "as_written": "as the supplier wrote it",
    "at": "signed",
    "became_idx": "became others in entry",
    "begun_at": "begun",
    "begun_version": "version at the beginning",
    "body": "body number",
    "consumed_idx": "used up in entry",
    "destination": "goes to",
    "digest": "file",
    "happened_at": "done",
    "high_millihertz": "looked at up to",
    "how": "what became of it",
    "idx": "entry",
    "is_offcut": "offcut",
    "key": "by",
    "labels": "labels printed",
    "listed_mg": "mass on the list",
    "listed_moisture_ppm": "moisture on the list",
    "low_millihertz": "looked at from",
    "mark": "the supplier’s mark",
    "meaning": "signed as",
    "moment": "when",
    "neck": "neck number",
    "off_idx": "taken off in entry",
    "reworked_idx": "done again in entry",
    "run_number": "number in the run",
    "run_pieces": "pieces in the run",
    "size": "entries then",
    "slip_idx": "slip made in entry",
    "struck_idx": "struck in entry",
    "voided_idx": "void since entry",
}
PRINTED: Final[dict[str, Callable[[int], str]]] = {
    "_um": quantities.millimetres,
    "_mg": quantities.grams,
    "_millihertz": quantities.hertz,
    "humidity_ppm": quantities.humidity,
    "_ppm": quantities.percent,
}
MOMENT = re.compile(r"(\d{4}-\d\d-\d\d)T(\d\d:\d\d):\d\dZ")


def column_words(name: str) -> str:
    """Return what a column of a table is called on a page."""
    if name in COLUMNS:
        return COLUMNS[name]
    if name.endswith("_idx"):
        return f"{name.removesuffix('_idx')} in entry"
    for unit in (*PRINTED, "_on"):
        name = name.removesuffix(unit) or name
    return name.replace("_", " ")


def printed(name: str, value: object) -> object:
    """Return a value of a column as the bench writes it, and any other as it is."""
    if isinstance(value, int) and not isinstance(value, bool):
        for unit, printer in PRINTED.items():
            if name.endswith(unit):
                return printer(value)
    if isinstance(value, str) and (moment := MOMENT.fullmatch(value)):
        return f"{moment[1]} {moment[2]} UTC"
    return value


def measured(unit: object, value: object) -> object:
    """Return a measure that a table keeps as a unit and an integer."""
    for known in UNIT_WORDS:
        if unit == known and isinstance(value, int):
            return measure_words(known, value)
    return value
