"""A checkpoint as papers set it: every line of its note, broken where it is full.

Nothing of a note is lost, for whoever types it from the paper needs all of it.
"""

from labels.page import Style, measure

INDENT = 3.0  # of what goes on from a line that was full [mm]
# Straight quotes: a shell takes curly ones as letters.
COMPARE = 'flitchbook record audit --against "…"'


def note_lines(text: str, style: Style, within: float) -> list[tuple[float, str]]:
    """Return the lines of a note as (indent, letters), each within so much [mm]."""
    return [
        (INDENT if number else 0.0, part)
        for line in text.splitlines()
        if line
        for number, part in enumerate(_broken(line, style, within))
    ]


def _broken(line: str, style: Style, within: float) -> list[str]:
    """Break a line wherever it is full, so that nothing of it is lost."""
    parts = [""]
    for letter in line:
        free = within - (INDENT if len(parts) > 1 else 0)
        if measure(parts[-1] + letter, style) > free:
            parts.append("")
        parts[-1] += letter
    return parts
