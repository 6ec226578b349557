"""Packing lists in every way that somebody may write them."""

import random

from hypothesis import strategies as st

Row = tuple[int, int, int, int, int]
# Sets; length, width and thickness in tenths of a millimetre; density in kg/m3.
ROWS = st.lists(
    st.tuples(
        st.integers(1, 30),
        st.integers(5_000, 9_000),
        st.integers(1_000, 3_000),
        st.integers(20, 900),
        st.integers(300, 1_200),
    ),
    min_size=1,
    max_size=6,
)
UNITS = {"mm": 1, "cm": 10, "m": 1_000, "g": 1, "kg": 1_000}
HEADERS = (
    ("No.", "Nr.", "Mark"),
    ("Sets", "Sätze", "Qty (sets)"),
    ("Length", "Länge", "Longueur"),
    ("Width", "Breite", "Larghezza"),
    ("Thickness", "Dicke", "Stärke"),
    ("Wt. each", "Gewicht/Stk", "Weight per set"),
)


def weighed(row: Row) -> int:
    """Return the mass of a set's two halves, in tenths of a gram."""
    _, length, width, thickness, density = row
    return 2 * length * width * thickness * density // 10**8


def decimal(tenths: int, worth: int, mark: str) -> str:
    """Write tenths of a small unit in a larger one, with one digit or with four."""
    digits = 1 if worth == 1 else 4
    whole, part = divmod(tenths * 10**digits // (10 * worth), 10**digits)
    return f"{whole}{mark}{part:0{digits}d}"


def written_table(rows: list[Row], pick: random.Random, mark: str) -> list[list[str]]:
    """Write rows as cells, the units in the header or in each cell, in any order."""
    units = [*pick.choices(("mm", "cm", "m"), k=3), pick.choice(("g", "kg"))]
    is_above = [pick.random() < 0.5 for _ in units]
    header = [pick.choice(names) for names in HEADERS]
    for place, unit in enumerate(units):
        if is_above[place]:
            header[place + 2] += pick.choice((" ({})", " [{}]", " {}")).format(unit)
    table = [header]
    for number, row in enumerate(rows, start=1):
        measures = [
            decimal(tenths, UNITS[unit], mark) + ("" if above else f" {unit}")
            for tenths, unit, above in zip(
                (*row[1:4], weighed(row)), units, is_above, strict=True
            )
        ]
        table.append([str(number), str(row[0]), *measures])
    order = pick.sample(range(6), 6)
    return [[cells[place] for place in order] for cells in table]


SCRAPS = (
    *("No.", "Length", "Sets", "(mm)", "Qty", "Weight", "Bd Ft", "Size L x W x T"),
    *("T/4", "Half A", "Moisture", "Unit", "Species", "Total", "Summe", "sep=;\n"),
    *("\n", "\n", "\r\n", ",", ",", ";", ";", "\t", '"', '""', " ", "x", "/", "-", "½"),
    *('22 7/8"', "559", "4,2", "1,250", "1.250,5", "559 x 203 x 4 mm", "12 sets"),
    *("24 halves", "0.9 kg", "212/204 g", "1/0", "9" * 70, "²", "١", "%", "g", "set"),
)
