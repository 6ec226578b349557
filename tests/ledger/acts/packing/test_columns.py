"""A header tells what its column says, and in which unit."""

import pytest

from ledger.acts.packing import read_list
from ledger.acts.packing.columns import column_of, read_header, sheet_of
from ledger.errors import RefusedError


@pytest.mark.parametrize(
    ("header", "meaning", "unit", "told"),
    [
        ("Length (mm)", "length", "mm", None),
        ("Länge mm", "length", "mm", None),
        ("Länge/mm", "length", "mm", None),
        ("Länge in mm", "length", "mm", None),
        ("Länge (L) roh [cm]", "length", "cm", None),
        ("Length, in.", "length", "in", None),
        ('Width (")', "width", '"', None),
        ("Largeur", "width", None, None),
        ("Ancho (pulgadas)", "width", "in", None),
        ("T/4", "thickness", "/4", None),
        ("Spessore mm", "thickness", "mm", None),
        ("Maße", "sizes", None, None),
        ("MASSE (mm)", "sizes", "mm", None),
        ("L x B x H (mm)", "sizes", "mm", "lwt"),
        ("Dimensions TxWxL", "sizes", None, "twl"),
        ("L x l x e mm", "sizes", "mm", "lwt"),
        ("Masse (kg)", "mass", "kg", None),
        ("Wt. (oz./half)", "mass", "oz", "half"),
        ("Gewicht/Satz [g]", "mass", "g", "set"),
        ("Weight lbs each", "mass", "lbs", "each"),
        ("Poids total kg", "mass", "kg", "total"),
        ("Half A (oz)", "mass_a", "oz", None),
        ("Bd Ft", "volume", "bdft", None),
        ("Total BF", "volume", "bdft", "total"),
        ("Bd. Ft. per set", "volume", "bdft", "set"),
        ("kg total", "mass", "kg", "total"),
        ("Qty (sets)", "quantity", None, "set"),
        ("Anz. Hälften", "quantity", None, "half"),
        ("Stk", "quantity", None, "board"),
        ("Q.tà", "quantity", None, None),
        ("MC %", "moisture", "%", None),
        ("Botanical name", "species", None, "scientific"),
        ("Holz", "trade_name", None, None),
        ("Item #", "label", None, None),
    ],
)
def test_a_header_says_meaning_unit_and_whose(
    header: str, meaning: str, unit: str | None, told: str | None
) -> None:
    """In five languages, with brackets, strokes and abbreviations."""
    column = column_of(0, header)

    assert column is not None
    assert (column.meaning, column.unit, column.told) == (meaning, unit, told)


@pytest.mark.parametrize("header", ["", "Price EUR", "Remarks", "Made in", "12"])
def test_other_headers_say_nothing(header: str) -> None:
    """A price is not read."""
    assert column_of(0, header) is None


def test_a_mark_goes_before_a_running_number() -> None:
    """Where there is no mark, the number is the mark."""
    both = read_header(["No.", "Mark", "Qty"], {})
    alone = read_header(["No.", "Qty"], {})

    assert [(c.index, c.meaning) for c in both] == [(1, "label"), (2, "quantity")]
    assert [(c.index, c.meaning) for c in alone] == [(0, "label"), (1, "quantity")]


def test_the_mass_of_one_goes_before_that_of_all() -> None:
    """Two columns of mass: the one that needs no sharing is read."""
    columns = read_header(["Qty", "Total weight (g)", "Weight each (g)"], {})

    assert [(c.index, c.told) for c in columns] == [(0, None), (2, "each")]


def test_the_delimiter_is_the_one_that_gives_a_header() -> None:
    """Commas within headers and cells do not make a list of commas."""
    text = "a, b, c, d\nNr.;Länge, mm;Breite, mm\n1;559,5;203,1\n"
    sheet = sheet_of(text, columns={}, units={})

    assert sheet.delimiter == ";"
    assert (sheet.header, sheet.body) == (1, 2)
    assert [c.unit for c in sheet.columns] == [None, "mm", "mm"]


def test_units_may_stand_in_a_line_of_their_own() -> None:
    """The line below the header is no row then."""
    text = "Nr,Länge,Gewicht\n,(mm),(g)\n1,559,412\n"
    sheet = sheet_of(text, columns={}, units={})

    assert sheet.body == 2
    assert [c.unit for c in sheet.columns] == [None, "mm", "g"]
    short = sheet_of("Nr,Länge,Gewicht\n,(mm)\n1,5,4\n", columns={}, units={})
    assert [c.unit for c in short.columns] == [None, "mm", None]


def test_what_the_reader_says_goes_before_the_header() -> None:
    """A unit of mass may say whose mass it is."""
    text = "Nr,Half A (g),Half B (g),Weight (g)\n1,2,3,5\n"
    sheet = sheet_of(text, columns={}, units={"mass": "oz per set"})

    assert [(c.unit, c.told) for c in sheet.columns[1:]] == [
        ("oz", "set"),
        ("oz", "set"),
        ("oz", "set"),
    ]


def test_without_a_header_there_is_no_list() -> None:
    """The refusal tells the words looked for, and the option."""
    with pytest.raises(RefusedError) as refused:
        sheet_of("1,559,203\n2,560,203\n", columns={}, units={})

    assert "words such as number, quantity, length" in str(refused.value)
    assert "--column length=" in str(refused.value)


def test_a_unit_that_is_said_goes_before_that_of_the_header() -> None:
    """Inches typed under a header of millimetres are put right without retyping."""
    data = b"No.,Sets,Length (mm),Width (mm),Thickness (mm)\n1,1,22,8,0.165\n"
    inches = dict.fromkeys(("length", "width", "thickness"), "in")
    found = read_list(data, units=inches)

    assert read_list(data).rows == ()
    assert [(r.length_um, r.width_um, r.thickness_um) for r in found.rows] == [
        (558_800, 203_200, 4_191)
    ]


def test_a_header_of_unknown_words_can_be_named() -> None:
    """The option tells which column holds the length."""
    data = b"Ref,Saw cut,Qty\n1,559 mm,3\n"
    found = read_list(data, columns={"length": "saw CUT"})

    assert read_list(data).rows[0].length_um is None
    assert found.rows[0].length_um == 559_000


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"columns": {"size": "Qty"}}, "'size' is nothing a list says"),
        ({"columns": {"length": "Lang"}}, "no column is called 'Lang'"),
        ({"units": {"length": "kg"}}, "'kg' is no unit of length"),
        ({"units": {"species": "mm"}}, "'species' has no unit"),
        ({"units": {"quantity": "mm"}}, "'mm' is no unit of quantity"),
    ],
)
def test_an_option_that_fits_nothing_is_refused(
    options: dict[str, dict[str, str]], said: str
) -> None:
    """A slip in an option is told, and not read past."""
    with pytest.raises(RefusedError) as refused:
        read_list(b"No.,Qty,Length\n7,1,559\n", **options)

    assert said in str(refused.value)


def test_a_quote_that_is_sound_with_one_delimiter_only_is_no_hindrance() -> None:
    """Tried with semicolons, one cell of the first row would run on to the end."""
    rows = "".join(f"{number},1,559,{'dark ' * 20}\n" for number in range(2_000))
    text = f'No.,Sets,Length mm,Remarks\na;"b,1,559,\n{rows}'
    sheet = sheet_of(text, columns={}, units={})

    assert sheet.delimiter == ","
    assert len(sheet.records) == 2_002
    with pytest.raises(RefusedError, match="a quote that is opened and not closed"):
        sheet_of(f"sep=;\n{text}", columns={}, units={})


JAPANESE = "番号,長さ,幅,厚さ\n1,559 mm,203 mm,4 mm\n"


def test_headers_of_any_script_can_be_named() -> None:
    """Letters that are not Latin are compared as they stand."""
    named = {"label": "番号", "length": "長さ", "width": " 幅 ", "thickness": "厚さ"}
    (row,) = read_list(JAPANESE.encode(), columns=named).rows

    assert (row.label, row.length_um, row.width_um) == ("1", 559_000, 203_000)


def test_one_named_column_is_enough_to_find_the_header() -> None:
    """Whoever follows the advice is not given it again."""
    read = read_list(JAPANESE.encode(), columns={"length": "長さ"})

    assert [row.length_um for row in read.rows] == [559_000]
    assert ("幅", "", "") in read.columns


@pytest.mark.parametrize(
    ("columns", "said"),
    [
        (
            {"length": "長さ", "width": "巾"},
            "called '巾', asked for as width",
        ),
        (
            {"length": "丈"},
            "has a column called '丈': write it as the header",
        ),
    ],
)
def test_a_named_column_that_is_not_in_the_list_is_refused(
    columns: dict[str, str], said: str
) -> None:
    """It is never silently left out."""
    with pytest.raises(RefusedError, match=said):
        read_list(JAPANESE.encode(), columns=columns)
    with pytest.raises(RefusedError, match="no column is called '木'"):
        read_list(b"No.,Length (mm),Qty\n7,559,1 set\n", columns={"grade": "木"})
