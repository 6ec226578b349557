"""What a species paper is not, in the four languages of its readers.

The words are our own. The band stands on every page; the longer statement, with the
dates of the record and of the tables, is a block that any species paper can draw.
"""

from dataclasses import dataclass
from typing import NamedTuple

from labels import faces
from labels.materials_table import WIDTH, Block
from labels.page import (
    HAIR,
    WALNUT,
    WHITE,
    Page,
    Style,
    box,
    rule,
    wrap,
    write,
    write_lines,
)

BAND = 18.5
BANNER = (
    ("en", "Maker’s statement", "Not a permit."),
    ("fr", "Déclaration du fabricant", "Ce n’est pas un permis."),
    ("es", "Declaración del fabricante", "No es un permiso."),
    ("de", "Erklärung des Herstellers", "Keine Genehmigung."),
)
COLUMNS = 2
GAP = 6.0
LEADING = 3.55

SAID = Style(face=faces.DATA, size=8.4, colour=WHITE, floor=7)
LANGUAGE = Style(face=faces.DATA, size=7.4, colour=WHITE)
DENIAL = Style(face=faces.DATA_HEAVY, size=10.6, colour=WHITE, floor=9)
HEADING = Style(face=faces.TEXT_SEMIBOLD, size=9.6)
CODE = Style(face=faces.DATA, size=7.4, colour=WALNUT)
BODY = Style(face=faces.TEXT, size=8.4)


class Wording(NamedTuple):
    """The statement in one language; its sentences take the dates by name."""

    language: str
    heading: str
    record: str
    denial: str
    tables: str
    unread: str  # instead of `tables` where no source was read
    ask: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Dated:
    """As of when a paper speaks: of the record, and of the tables of the law.

    entry is the newest one that the paper rests on. Days are YYYY-MM-DD; newest_source
    is the oldest of the days on which the rows' newest sources were written, and empty
    where no source was read.
    """

    day: str
    entry: int
    compiled: str
    newest_source: str


WORDINGS = (
    Wording(
        language="en",
        heading="What this paper is not",
        record="This is a statement by the maker. It is drawn from the workshop’s own "
        "records as they stood on {day}, up to entry {entry}.",
        denial="It is not a permit, not a certificate of any authority, and not "
        "advice.",
        tables="What it says about the law comes from tables compiled on {compiled}; "
        "their sources are of {newest_source} or later. The law may have changed "
        "since.",
        unread="What it says about the law comes from tables compiled on {compiled} "
        "without a printed source. The law may say otherwise.",
        ask="Before anything moves, ask your country’s CITES Management Authority or a "
        "customs broker which documents are needed.",
    ),
    Wording(
        language="fr",
        heading="Ce que ce document n’est pas",
        record="Ceci est une déclaration du fabricant. Elle est tirée des registres de "
        "l’atelier dans leur état du {day}, jusqu’à l’inscription {entry}.",
        denial="Ce n’est ni un permis, ni un certificat d’une autorité, ni un conseil.",
        tables="Ce qu’elle dit du droit provient de tableaux établis le {compiled}, "
        "dont les sources datent du {newest_source} ou d’une date ultérieure. Le droit "
        "a pu changer depuis.",
        unread="Ce qu’elle dit du droit provient de tableaux établis le {compiled} "
        "sans source imprimée. Le droit peut être différent.",
        ask="Avant tout transport, demandez à l’organe de gestion CITES de votre pays "
        "ou à un représentant en douane quels documents sont nécessaires.",
    ),
    Wording(
        language="es",
        heading="Lo que este documento no es",
        record="Esta es una declaración del fabricante. Se basa en los registros del "
        "propio taller tal como estaban el {day}, hasta el asiento {entry}.",
        denial="No es un permiso, ni un certificado de ninguna autoridad, ni un "
        "asesoramiento.",
        tables="Lo que dice sobre la ley procede de tablas elaboradas el {compiled}; "
        "sus fuentes son del {newest_source} o posteriores. La ley puede haber "
        "cambiado desde entonces.",
        unread="Lo que dice sobre la ley procede de tablas elaboradas el {compiled} "
        "sin fuente impresa. La ley puede ser otra.",
        ask="Antes de cualquier traslado, pregunte a la Autoridad Administrativa CITES "
        "de su país o a un agente de aduanas qué documentos se necesitan.",
    ),
    Wording(
        language="de",
        heading="Was dieses Papier nicht ist",
        record="Dies ist eine Erklärung des Herstellers. Sie beruht auf dem eigenen "
        "Buch der Werkstatt mit Stand vom {day}, bis Eintrag {entry}.",
        denial="Sie ist keine Genehmigung, keine Bescheinigung einer Behörde und keine "
        "Beratung.",
        tables="Was sie über das Recht sagt, stammt aus Tabellen vom {compiled}; deren "
        "Quellen stammen vom {newest_source} oder aus späterer Zeit. Das Recht kann "
        "sich seither geändert haben.",
        unread="Was sie über das Recht sagt, stammt aus Tabellen, die am {compiled} "
        "ohne gedruckte Quelle aufgestellt wurden. Das Recht kann anders lauten.",
        ask="Fragen Sie vor jeder Beförderung die CITES-Vollzugsbehörde Ihres Landes "
        "oder einen Zollagenten, welche Dokumente nötig sind.",
    ),
)


def band(page: Page, left: float, top: float) -> None:
    """Say in four languages what this is, and that it is no permit."""
    box(page, left, top, WIDTH, BAND)
    column = WIDTH / len(BANNER)
    for number, (language, statement, denial) in enumerate(BANNER):
        x, end = left + number * column + 3, left + (number + 1) * column - 2
        if number:
            box(page, x - 3, top + 3, 0.18, BAND - 6, WHITE)
        write(page, (x, top + 5.8), statement, SAID, within=end - x - 4.5)
        write(page, (end, top + 5.8), language, LANGUAGE, align="right")
        write(page, (x, top + 13), denial, DENIAL, within=end - x)


def statements(dated: Dated) -> tuple[tuple[str, str, str], ...]:
    """Return the language, the heading and the text of each statement."""
    facts = {
        "day": dated.day,
        "entry": dated.entry,
        "compiled": dated.compiled,
        "newest_source": dated.newest_source,
    }
    said = []
    for wording in WORDINGS:
        tables = wording.tables if dated.newest_source else wording.unread
        sentences = (wording.record, wording.denial, tables, wording.ask)
        text = " ".join(sentences).format(**facts)
        said.append((wording.language, wording.heading, text))
    return tuple(said)


def statement_block(dated: Dated) -> Block:
    """Plan the statement in four languages, two beside two."""
    width = (WIDTH - GAP * (COLUMNS - 1)) / COLUMNS
    told = [
        (language, heading, wrap(text, BODY, width))
        for language, heading, text in statements(dated)
    ]
    rows = [told[start : start + COLUMNS] for start in range(0, len(told), COLUMNS)]
    heights = [
        9.2 + LEADING * (max(len(lines) for _, _, lines in row) - 1) for row in rows
    ]

    def draw(page: Page, left: float, y: float) -> None:
        rule(page, (left, left + WIDTH), y + 1.5, 0.22, HAIR)
        for row, height in zip(rows, heights, strict=True):
            for number, (language, heading, lines) in enumerate(row):
                x = left + number * (width + GAP)
                write(page, (x, y + 6.6), heading, HEADING)
                write(page, (x + width, y + 6.6), language, CODE, align="right")
                write_lines(page, (x, y + 10.7), lines, BODY, LEADING)
            y += height + 3.6

    return Block(sum(heights) + 3.6 * len(rows), draw, "statement")
