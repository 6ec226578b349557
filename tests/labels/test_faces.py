"""Tests of the faces: which letter is taken from which font."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels import faces

FILES = sorted(path.stem for path in faces.FOLDER.glob("*.ttf"))


@pytest.mark.parametrize(
    "name",
    [
        "Jakub Wolański",
        "Tadhg Mac Giolla",
        "Oluwaseun Adeyemi-Brandt",
        "Mbeki-Laurent Ebène",
        "Ștefan Țepeș",
        "Přemysl Řehoř",
        "İğdır Şükrü",
        "Nguyễn Thị Hồng",
        "Димитрий Лазарев",
        "Ἀριστο",
        "O’Brien & “Sons”",
        "荒川 賢治",
        "佐々木 ゆり、ヴィオラ",
    ],
)
def test_names_of_many_lands_have_all_their_letters(name: str) -> None:
    """A name from the workshop or from an owner needs no geta mark."""
    wanted = {"Ἀριστο": "Ἀ"}.get(name, "")

    assert faces.missing(name) == wanted


def test_letters_that_no_face_has_become_geta_marks_and_are_named() -> None:
    """Hangul prints as two bars a letter, is never dropped, and is reported."""
    name = "김 Kim"

    assert faces.runs(name, faces.TEXT) == [
        (faces.MINCHO, "〓"),
        (faces.TEXT, " Kim"),
    ]
    assert faces.missing_notices([name, "Maura Kiely", name]) == (
        "no face has U+AE40 of '김 Kim'; printed as 〓",
    )


def test_spaces_and_latin_letters_stay_in_the_text_face() -> None:
    """Only what the text face lacks is set in the Japanese face."""
    assert faces.runs("荒川 Kenji", faces.TEXT_ITALIC) == [
        (faces.MINCHO, "荒川"),
        (faces.TEXT_ITALIC, " Kenji"),
    ]


def test_the_data_face_borrows_what_it_lacks_from_the_text_face() -> None:
    """An arrow between two codes comes from the serif."""
    assert faces.runs("A→B", faces.DATA) == [
        (faces.DATA, "A"),
        (faces.TEXT, "→"),
        (faces.DATA, "B"),
    ]


def test_accents_written_apart_are_joined_to_their_letters() -> None:
    """A decomposed name is set with the composed letter; a lone accent is reported."""
    assert faces.tidy("Wolan\u0301ski") == "Wolański"
    assert faces.missing("Wolan\u0301ski") == ""
    assert faces.missing("x\u0302") == "\u0302"


def test_line_ends_become_spaces() -> None:
    """A name with a line end in it stays one line."""
    assert faces.tidy("Maura\nKiely\r\u2028") == "Maura Kiely  "


def test_figures_of_the_data_face_are_all_of_one_width() -> None:
    """Columns of numbers stand straight under one another."""
    for face in (faces.DATA, faces.DATA_MEDIUM, faces.DATA_BOLD, faces.DATA_HEAVY):
        widths = {round(faces.width(digit, face, 10), 6) for digit in "0123456789"}

        assert len(widths) == 1


def test_small_capitals_are_copied_as_small_letters() -> None:
    """The heading face draws lower case letters as capitals, under their own code."""
    assert faces.runs("hands", faces.CAPS) == [(faces.CAPS, "hands")]
    lower, upper = (faces.width(t, faces.CAPS, 10) for t in ("hands", "HANDS"))
    plain = faces.width("hands", faces.TEXT, 10)

    assert plain < lower < upper


@pytest.mark.parametrize("name", FILES)
def test_every_face_on_disk_can_be_set(name: str) -> None:
    """Each font file loads under its own name and has figures or kana."""
    sample = "あ" if name == faces.MINCHO else "0"

    assert faces.has(name, sample)


@given(st.text(max_size=40))
def test_no_character_is_dropped(text: str) -> None:
    """A line of type has as many letters as the text, whatever the text."""
    split = faces.runs(text, faces.TEXT)

    assert sum(len(letters) for _, letters in split) == len(faces.tidy(text))
    assert faces.width(text, faces.TEXT, 10) >= 0


def test_a_word_stands_off_its_number() -> None:
    """A thin space before it would look like none; before a unit's sign it is right."""
    assert faces.tidy("164\u2009days, 190\u2009g") == "164\u00a0days, 190\u2009g"
