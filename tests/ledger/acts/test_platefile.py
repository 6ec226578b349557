"""Places of a plate are read as a builder writes them, or refused by their line."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.acts.platefile import Gauged, is_ended, read_place, read_places
from ledger.errors import RefusedError

HEAD = "x_mm,y_mm,thickness_mm\n"
COUNTS = st.tuples(
    st.integers(-300_000, 300_000), st.integers(0, 600_000), st.integers(300, 60_000)
)


def values(data: str | bytes) -> list[tuple[int, int, int]]:
    """Return the places of a file as whole numbers."""
    found = read_places(data.encode() if isinstance(data, str) else data)
    return [(each.x_um, each.y_um, each.thickness_um) for each in found]


@given(st.lists(COUNTS, min_size=1, max_size=9))
def test_what_is_written_in_millimetres_is_read_to_the_micrometre(
    places: list[tuple[int, int, int]],
) -> None:
    """No float has a part in it."""
    rows = [
        ",".join(f"{'-' * (um < 0)}{abs(um) // 1000}.{abs(um) % 1000:03d}" for um in p)
        for p in places
    ]

    assert values(HEAD + "\n".join(rows)) == places


@pytest.mark.parametrize(
    "text",
    [
        "x_mm,y_mm,thickness_mm\n-120,200.5,2.4\n",
        "x_mm;y_mm;thickness_mm\r\n-120;200,5;2,4\r\n",
        "thickness (mm)\tX (mm)\tY (mm)\n2.4\t-120\t200.5",
        "x,y,thickness\n-12 cm,200.5 mm,2.4 mm\n",
        "place,x_mm,y_mm,thickness_mm\nA1,\u2212120,200.5,2.4\n\n",
        "\ufeffx_mm,y_mm,thickness_mm\n\n-120,200.5,2.4\n,,\n",
        "x_mm,y_mm,thickness_mm\n－１２０,２００.５,２.４㎜\n",
        '"x_mm","y_mm","thickness_mm"\n"-120","200.5","2.4"\n',
    ],
)
def test_a_file_is_read_however_it_was_saved(text: str) -> None:
    """By any delimiter and any order of columns, with units in header or cell."""
    assert values(text) == [(-120_000, 200_500, 2_400)]


def test_inches_are_read_as_inches() -> None:
    """Decimal or as fractions, by the header or by the cell."""
    by_header = values("x_in,y_in,thickness_in\n-4 1/2,8,3/32\n")
    by_cell = values(f"{HEAD}-4 1/2 in,8 in,3/32 in\n")

    assert by_header == by_cell == [(-114_300, 203_200, 2_381)]


def test_a_file_of_another_encoding_is_read() -> None:
    """As older programs and those of another system save it."""
    text = "x_mm;y_mm;thickness_mm\n-120;200;2,4\n"

    assert values(text.encode("utf-16")) == [(-120_000, 200_000, 2_400)]


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "the file is empty"),
        (b" \n\n", "the file is empty"),
        (HEAD.encode(), "line 1 is the last: there is no place under the header"),
        (b"\x00\x01\x02", "the file is no text"),
        (b"%PDF-1.7", "the file is a PDF"),
        (b"x" * 100_001, "100001 bytes of at most 100000"),
        ("表板の厚み\n-120,200,2.4\n".encode(), "names no x, y and thickness"),
        ("表板の厚み\n-120,200,2.4\n".encode("shift_jis"), "Windows-1252|names no x"),
        (b"-120,200,2.4\n", "write above the places x_mm,y_mm,thickness_mm"),
        (
            f"{HEAD}-120,200,5,2,4\n".encode(),
            "line 2 has 5 cells of 3: .* part .* by ;",
        ),
        (f"{HEAD}-120,200,2,4\n".encode(), "line 2 has 4 cells of 3"),
        (b"x_mm,x_mm,y_mm,thickness_mm\n1,1,2,3\n", "line 1 names x twice"),
        (b"x_pt,y_pt,thickness_pt\n1,2,3\n", "names no x, y and thickness"),
        (f"{HEAD}-120,200,2.4\n-100,20".encode(), "line 3 has no thickness.*cut off"),
        (f"{HEAD}-120,200,2.4\n-100,200,2.\n".encode(), "line 3: '2.' is not a length"),
        (f"{HEAD}-120,200,厚い\n".encode(), "line 2: '厚い' is not a length"),
        (f"{HEAD}left,200,2.4\n".encode(), "line 2: 'left' is not a place"),
        (f"{HEAD}-120,200,-2.4\n".encode(), "line 2: '-2.4' is below zero"),
        (f"{HEAD}-120,200,2.4 g\n".encode(), "line 2: '2.4 g' is not a length"),
        (b"x,y,thickness\n-120,200,2.4\n", "line 2: -120 has no unit"),
        (
            b"x_mm;y_mm;thickness_mm\n-120;200;2,400\n",
            "line 2: '2,400' can be read in two ways",
        ),
    ],
)
def test_what_is_no_file_of_places_is_refused_by_its_line(
    data: bytes, why: str
) -> None:
    """One sentence says where it is wrong."""
    with pytest.raises(RefusedError, match=why):
        read_places(data)


def test_cells_without_anything_in_them_are_not_counted() -> None:
    """Some programs end each line with commas."""
    assert values(f"{HEAD}-120,200,2.4,,\n") == [(-120_000, 200_000, 2_400)]


def test_a_last_line_without_its_end_is_seen() -> None:
    """A file that was cut off within its last number reads like a whole one."""
    assert is_ended(f"{HEAD}-120,200,2.4\r\n".encode())
    assert is_ended(f"{HEAD}-120,200,2.4\n".encode("utf-16"))
    assert not is_ended(f"{HEAD}-120,200,2.4".encode())


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    """A hostile file ends in a sentence, and in nothing else."""
    try:
        read_places(data)
    except RefusedError as refusal:
        assert str(refusal)


@pytest.mark.parametrize(
    "text",
    [
        "-120 mm, 200 mm = 2.4 mm",
        "-12cm,20cm=2.4mm",
        "-120,0 mm; 200,0 mm = 2,4 mm",
    ],
)
def test_a_place_is_typed_as_it_is_said(text: str) -> None:
    """Across, up, and how thick."""
    assert read_place(text, 3) == Gauged(
        where="place 3", x_um=-120_000, y_um=200_000, thickness_um=2_400
    )


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("-120 mm, 200 mm", "is no place with its thickness"),
        ("-120 mm = 2.4 mm", "is no place with its thickness"),
        ("1 mm, 2 mm, 3 mm = 2.4 mm", "is no place with its thickness"),
        (", 200 mm = 2.4 mm", "is no place with its thickness"),
        ("-120 mm, 200 mm =", "is not a length"),
        ("-120, 200 mm = 2.4 mm", "-120 has no unit"),
    ],
)
def test_a_place_that_is_none_is_refused(text: str, why: str) -> None:
    """With one that is written as it should be."""
    with pytest.raises(RefusedError, match=f"^place 7: .*{why}"):
        read_place(text, 7)
