"""shop.toml is read back as it was written; nothing strange in it is passed over."""

import os
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.acts.settings import (
    Settings,
    read_settings,
    require_sound,
    write_settings,
)
from ledger.errors import NotFoundError, RefusedError
from ledger.trade.tables import places

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
PLACE = TEXT.map(str.strip).filter(str.isprintable)
COUNTRY = st.sampled_from(["", *places()])
HOST = st.from_regex(
    r"([a-z0-9-]{1,8}\.){0,2}[A-Z0-9]{1,5}(/[a-z.-]{1,4})?", fullmatch=True
)


@settings(max_examples=40)
@given(place=PLACE, country=COUNTRY, host=HOST, database=TEXT)
def test_settings_are_read_back_as_written(
    tmp_path_factory: pytest.TempPathFactory,
    place: str,
    country: str,
    host: str,
    database: str,
) -> None:
    """Whatever the harbour is called, and whichever country it is in."""
    folder = tmp_path_factory.mktemp("settings")
    told = Settings(
        place=place,
        country=country,
        paper="Letter",
        language="de",
        letterhead="The Loft, 4 Harbour Road | bench@skm.example",
        label_host=host,
        database=database,
    )
    write_settings(folder, told)

    assert read_settings(folder) == told


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("papper = 'A4'", "papper is no setting"),
        ("url = 'x'", "url is no setting"),
        ("pattern = 'x'", "pattern is no setting"),
        ("place = 4", 'place is no text: write it in quotes, as place = "…"'),
        ("country = true", 'country is no text: write it in quotes, as country = "…"'),
        ("country = CA", "cannot be read"),
        ("paper = 'A3'", "paper is A4 or Letter"),
        ("language = 'tlh'", "is one of en, fr, de, es, not 'tlh'"),
        ("label_host = 'https://x.example'", "no host"),
        ("label_host = 'x.example:80'", "no host"),
        ("place = ' Port Anslow'", "one plain line"),
        ("place = ", "cannot be read"),
        ("place = '\udcff'", "cannot be read"),
    ],
)
def test_a_strange_line_is_named(tmp_path: Path, text: str, said: str) -> None:
    """A setting that is misspelt would else be passed over in silence."""
    path = tmp_path / "shop.toml"
    path.write_text(text, encoding="utf-8", errors="surrogateescape")
    with pytest.raises(RefusedError, match=said):
        read_settings(tmp_path)


@pytest.mark.parametrize(
    ("country", "mended"),
    [
        ("Canada", "write CA"),
        ("ca", "write CA"),
        ("UK", "write GB"),
        ("the Netherlands", "write such as CA for Canada"),
        ("XX", "write such as CA for Canada"),
        (" ", "write such as CA for Canada"),
    ],
)
def test_a_wrong_country_is_named_with_the_one_that_is_meant(
    tmp_path: Path, country: str, mended: str
) -> None:
    """As a name, in small letters, or of no place at all."""
    path = tmp_path / "shop.toml"
    path.write_text(f'country = "{country}"\n', encoding="utf-8")
    with pytest.raises(RefusedError) as refused:
        read_settings(tmp_path)

    assert str(refused.value) == (
        f"{path}: {country!r} is no country in two capital letters: {mended}"
    )


def test_the_union_is_no_country_of_a_shop(tmp_path: Path) -> None:
    """The sentence names no country it cannot be in."""
    (tmp_path / "shop.toml").write_text('country = "EU"\n', encoding="utf-8")
    with pytest.raises(RefusedError, match="'EU' is the Union and no country: write"):
        read_settings(tmp_path)


def test_a_country_may_be_left_out(tmp_path: Path) -> None:
    """Then every journey says where it starts; as shops of before have it."""
    (tmp_path / "shop.toml").write_text('paper = "A4"\n', encoding="utf-8")

    assert read_settings(tmp_path).country == ""


@pytest.mark.parametrize(
    "text",
    [
        "letterhead = 'The Loft |  4 Harbour Road | bench@skm.example'",
        "letterhead = 'The Loft|4 Harbour Road|bench@skm.example'",
        'letterhead = """\nThe Loft\n4 Harbour Road\n\nbench@skm.example\n"""',
    ],
)
def test_a_letterhead_is_written_in_one_line_or_in_several(
    tmp_path: Path, text: str
) -> None:
    """Whichever is easier to read in shop.toml; an empty line is none."""
    (tmp_path / "shop.toml").write_text(text, encoding="utf-8")

    lines = ("The Loft", "4 Harbour Road", "bench@skm.example")
    assert read_settings(tmp_path).letterhead_lines == lines
    assert Settings().letterhead_lines == ()


@pytest.mark.parametrize(
    ("letterhead", "said"),
    [
        ("a|b|c|d", "the letterhead of shop.toml has 4 lines, and 3 are the most"),
        ("x" * 81, "letterhead of shop.toml has 81 characters, and 80 that can be"),
        ("a\u0007b", "that can be printed"),
    ],
)
def test_a_letterhead_without_room_stops_no_more_than_what_bears_it(
    tmp_path: Path, letterhead: str, said: str
) -> None:
    """A shop is not opened with one; one that was opened before is still read."""
    told = Settings(letterhead=letterhead)
    with pytest.raises(RefusedError, match=said):
        require_sound(told)
    write_settings(tmp_path, told)

    assert read_settings(tmp_path) == told
    with pytest.raises(RefusedError, match=said):
        _ = told.letterhead_lines


def test_a_folder_without_settings_holds_no_shop(tmp_path: Path) -> None:
    """It says how to name another, or how to open one."""
    with pytest.raises(NotFoundError, match="no shop in"):
        read_settings(tmp_path)


def test_the_database_is_the_shop_s_own_unless_one_is_named(tmp_path: Path) -> None:
    """The address of a server is passed on as it is."""
    assert Settings().url(tmp_path).endswith("ledger.sqlite3")
    assert Settings(database="postgresql://x/y").url(tmp_path) == "postgresql://x/y"


def test_nobody_else_reads_the_settings(tmp_path: Path) -> None:
    """The database's address may hold a password."""
    usual = os.umask(0)
    try:
        write_settings(tmp_path, Settings(database="postgresql://x:secret@y/z"))
    finally:
        os.umask(usual)

    assert (tmp_path / "shop.toml").stat().st_mode & 0o777 == 0o600
