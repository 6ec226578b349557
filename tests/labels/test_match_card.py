"""Tests of the match card."""

from dataclasses import replace
from io import BytesIO

import pytest
from PIL import Image

from labels import match_card, picture, plots
from labels.match_card import Candidate, MatchCard, open_photograph
from labels.page import close_document, open_document, turn_over
from ledger.errors import RefusedError
from tests.labels import reading
from tests.labels.plot_samples import match, photograph

BOARD = Candidate(name="07", length_um=560_000, width_um=215_000)


def drawn(card: MatchCard) -> tuple[bytes, list[str]]:
    """Return a match card on an A5 sheet, and what it says."""
    page = open_document((210, 148), "match")
    labels = match_card.draw(page, (11, 11, 188, 126), card)
    turn_over(page)
    return close_document(page), [label.words for label in labels]


def said(card: MatchCard) -> list[str]:
    """Return what a match card says."""
    return drawn(card)[1]


def test_a_match_card_says_why_and_why_not() -> None:
    """Both boards, their numbers and differences, the reasons, and the runner-up."""
    words = said(match())

    for expected in (
        "L26-004-11.A",
        "L26-004-11.B",
        "rings 1.10\u2009mm, grain 0.8° outward",
        "differ by",
        "E along, GPa",
        "13.1",
        "13.4",
        "2.3 %",
        "Why these two",
        "Sisters: sawn one after the other from one billet.",
        "Runner-up",
        "L26-004-07.A with L26-004-09.B",
        "1 : 6.0; 1 in 5 rings drawn from measures",
    ):
        assert expected in words


@pytest.mark.parametrize(
    ("ring_um", "scale", "count"),
    [(1100, 1 / 6, 5), (1100, 1.0, 1), (5400, 1 / 6, 1), (1, 1 / 6, 1000)],
)
def test_rings_are_drawn_so_that_they_stay_apart(
    ring_um: int, scale: float, count: int
) -> None:
    """At 1 : 6 a ring of 1.1 mm is 0.18 mm, so one in five. Worked out by hand."""
    assert match_card.one_in(ring_um, scale) == count


@pytest.mark.parametrize(
    ("ring_um", "grain_millidegree", "words"),
    [
        (None, 500, "rings not counted"),
        (1180, None, "rings 1.18\u2009mm, angle not measured"),
        (1180, -1_250, "rings 1.18\u2009mm, grain 1.3° inward"),
        (900, 0, "rings 0.90\u2009mm, grain 0.0°"),
    ],
)
def test_what_was_not_measured_is_said(
    ring_um: int | None, grain_millidegree: int | None, words: str
) -> None:
    """Nothing about the grain is made up."""
    board = replace(BOARD, ring_um=ring_um, grain_millidegree=grain_millidegree)

    assert match_card.grain_said(board) == words


def test_a_side_that_nobody_noted_is_not_made_up() -> None:
    """How far the grain is off is known, and to which side is not."""
    board = replace(BOARD, ring_um=900, grain_millidegree=1_250, is_side_known=False)

    assert (
        match_card.grain_said(board) == "rings 0.90\u2009mm, grain 1.3°, side not noted"
    )


def test_a_board_without_rings_is_left_blank() -> None:
    """A broken outline and three words stand where nobody counted."""
    words = said(replace(match(), left=BOARD, right=BOARD))

    assert words.count("not") == 2 and words.count("counted") == 2
    assert not any("drawn from measures" in each for each in words)


def test_the_grain_is_mirrored_on_the_joint() -> None:
    """Of two equal boards, the right half is the left half seen in a mirror."""
    board = replace(BOARD, name="", ring_um=12_000, grain_millidegree=3_000)
    card = replace(match(), left=board, right=board, rows=(), why=(), runner_up=None)
    page = Image.open(BytesIO(picture.png(drawn(card)[0], page=0, dpi=254)))
    middle = 110 + round(188 * 4.4) // 2 + 1
    boards = page.convert("L").crop((middle - 300, 300, middle + 300, 1000))
    left, right = boards.crop((0, 0, 300, 700)), boards.crop((300, 0, 600, 700))
    turned = right.transpose(Image.Transpose.FLIP_LEFT_RIGHT)

    def dark(half: Image.Image) -> list[int]:
        return [
            sum(dot < 160 for dot in half.crop((x, 0, x + 20, 700)).tobytes())
            for x in range(0, 300, 20)
        ]

    assert sum(dark(left)) > 2000
    assert dark(left) == pytest.approx(dark(turned), rel=0.2, abs=120)
    assert dark(left) != pytest.approx(dark(right), rel=0.2, abs=120)


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_photograph_takes_the_place_of_the_drawing(kind: str) -> None:
    """The card says on which side the picture is a photograph."""
    board = replace(BOARD, ring_um=1100, photograph=photograph(kind=kind))
    words = said(replace(match(), left=board))

    assert any("left from a photograph" in each for each in words)
    assert "rings 1.10\u2009mm, angle not measured" in words


def test_a_photograph_keeps_its_colours_and_its_proportions() -> None:
    """A red square on a long board is a red square, in the middle of the board."""
    red = BytesIO()
    Image.new("RGB", (600, 600), (200, 20, 20)).save(red, format="PNG")
    card = replace(match(), left=replace(BOARD, photograph=red.getvalue()))
    page = Image.open(BytesIO(plots.png(card, dpi=100))).convert("RGB")
    reds = [
        (x, y)
        for x in range(page.width)
        for y in range(page.height)
        if (dot := page.getpixel((x, y)))
        and isinstance(dot, tuple)
        and dot[0] > 150
        and dot[1] < 60
    ]
    wide = max(x for x, _ in reds) - min(x for x, _ in reds)
    high = max(y for _, y in reds) - min(y for _, y in reds)

    assert wide > 100 and abs(wide - high) <= 4


def test_what_the_camera_wrote_beside_the_picture_is_left_out() -> None:
    """Where a photograph was taken does not leave the shop with a card."""
    tagged = Image.new("RGB", (60, 90), (200, 150, 90))
    exif = Image.Exif()
    exif[0x010E] = "taken at the crib"
    exif[0x0112] = 6  # turned by a quarter
    out = BytesIO()
    tagged.save(out, format="JPEG", exif=exif)
    card = replace(match(), left=replace(BOARD, photograph=out.getvalue()))

    assert open_photograph(out.getvalue(), "07").size == (90, 60)
    assert b"taken at the crib" in out.getvalue()
    assert b"taken at the crib" not in drawn(card)[0]


@pytest.mark.parametrize(
    "content",
    [b"spruce", b"", photograph()[:900], photograph(kind="PNG")[:300], b"GIF89a" * 9],
)
def test_what_is_no_photograph_is_refused(content: bytes) -> None:
    """The refusal names the board and what to do."""
    with pytest.raises(RefusedError, match="the photograph of 07 is no JPEG or PNG"):
        open_photograph(content, "07")


def test_a_photograph_of_too_many_dots_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The refusal names both numbers before the picture is unpacked."""
    monkeypatch.setattr(match_card, "MOST_PIXELS", 1000)
    with pytest.raises(RefusedError, match="has 481600 pixels of at most 1000"):
        open_photograph(photograph(), "07")


def test_a_board_without_size_is_refused() -> None:
    """The refusal names the board and both numbers."""
    flat = replace(BOARD, width_um=0)
    with pytest.raises(RefusedError, match="board 07 is 560000 by 0 um"):
        drawn(replace(match(), left=flat))


def test_too_many_numbers_are_refused() -> None:
    """The refusal names how many there are and how many have room."""
    with pytest.raises(RefusedError, match="40 numbers, and the card has room for 17"):
        drawn(replace(match(), rows=match().rows * 4))


def test_many_reasons_leave_room_for_the_runner_up() -> None:
    """The reasons end with an ellipsis, and the next best pair is still named."""
    words = said(replace(match(), why=match().why * 9))

    assert any(each.endswith("…") for each in words)
    assert "L26-004-07.A with L26-004-09.B" in words


def test_without_a_pair_a_sentence_says_so() -> None:
    """No match is no reason to fail."""
    pdf, words = drawn(replace(match(), left=None))

    assert "No two boards of these can lie side by side." in words
    assert "side by side" in reading.text(pdf)
