"""The transfer slip reads without being opened, and its code only when it is."""

from dataclasses import replace

import pytest
from PIL import ImageChops, ImageOps, ImageStat

from labels import picture, qr
from labels.transfer_slip import (
    COVER,
    FOLD,
    INSIDE,
    MIDDLE,
    MODULE,
    OUTSIDE,
    SIZE,
    SYMBOL_AT,
    TransferSlip,
    draw,
    notices,
)
from ledger.acts.slipcodes import printed_code, scanned_code
from ledger.check.outside import read_outside
from ledger.errors import RefusedError
from ledger.words import ten_words
from tests.labels import looks, overlaps, reading
from tests.labels.samples import ROOT, TAG
from tests.ledger.log.workshop import VECTORS

NOTE = (VECTORS / "checkpoint").read_text(encoding="utf-8")
CODE = bytes(range(16))
SLIP = TransferSlip(
    shop="Skerrymoor Fretted Instruments",
    model="Tidewarden",
    serial="26-0147-3",
    certificate="C-2026-00088",
    number="W-2026-00001",
    code=printed_code(CODE),
    scan=scanned_code(CODE),
    entry=86_120,
    leaf=ROOT,
    day="2026-11-21",
    size=TAG.size,
    root=ROOT,
    ten_words=ten_words(ROOT),
    checkpoint_note=TAG.checkpoint_note,
)


def test_outside_the_fold_stands_all_but_the_code() -> None:
    """Serial, slip and certificate are read while it is closed."""
    found = overlaps.words(draw(SLIP))
    outside = " ".join(each.text for each in found if each.right < FOLD)
    inside = " ".join(each.text for each in found if each.left > FOLD)

    for said in ("26-0147-3", "W-2026-00001", "C-2026-00088", "Tidewarden"):
        assert said in outside
    for group in SLIP.code.split("-"):
        assert group in inside
        assert group not in outside


def test_the_square_holds_the_code_and_nothing_else() -> None:
    """It is read from the printed leaf, and from nothing but the inside."""
    shown = picture.grey(draw(SLIP), page=0, dpi=300)

    assert reading.symbols(shown) == [SLIP.scan]
    assert qr.board_symbol(SLIP.scan).level == "H"


def test_closed_against_the_light_the_square_is_not_read() -> None:
    """Dark end grain lies on all of it and on the code, and ends before the fold."""
    shown = picture.grey(draw(SLIP), page=0, dpi=300)
    fold = round(shown.width * FOLD / SIZE[0])
    leaf = shown.crop((fold, 0, shown.width, shown.height))
    under = shown.crop((fold - leaf.width, 0, fold, shown.height))
    through = ImageChops.darker(leaf, ImageOps.mirror(under))
    x, y, wide, high = (round(part * shown.width / SIZE[0]) for part in COVER)
    grain = ImageStat.Stat(shown.crop((x, y, x + wide, y + high))).mean[0]

    assert reading.symbols(leaf) == [SLIP.scan]
    assert reading.symbols(through) == []
    assert grain < 255 / 3
    assert COVER[0] <= 2 * FOLD - (SYMBOL_AT[0] + 29 * MODULE) - 2
    assert FOLD > COVER[0] + COVER[2] >= 2 * FOLD - INSIDE[0] + 2


def test_drawn_again_it_is_the_same_and_another_code_another_slip() -> None:
    """Nothing but the facts is in it."""
    assert draw(SLIP) == draw(SLIP)
    assert draw(SLIP) != draw(replace(SLIP, scan=scanned_code(bytes(16))))


@pytest.mark.parametrize("language", ["en", "fr", "de", "es"])
def test_in_no_language_do_words_meet_or_leave_their_leaf(language: str) -> None:
    """Nor with the longest model, shop and count of entries."""
    long = replace(
        SLIP,
        language=language,
        model="Tidewarden Herring-Bone Concert",
        shop="Skerrymoor Fretted Instruments by the Harbour of Port Anslow",
        entry=9_999_999,
    )
    for slip in (replace(SLIP, language=language), long):
        pdf = draw(slip)
        assert overlaps.overlaps(pdf) == overlaps.overlaps(pdf, page=1) == []
        assert overlaps.outside(pdf, [OUTSIDE, MIDDLE, INSIDE]) == []
        assert all(
            each.top >= 2.0 and each.foot <= 91.0
            for page in (0, 1)
            for each in overlaps.words(pdf, page)
        )


def typed(pdf: bytes) -> str:
    """Return every letter on the back of a slip, without spaces and broken lines."""
    told = "".join(each.text for each in overlaps.words(pdf, page=1))
    return "".join(told.split())


def test_the_back_bears_the_whole_checkpoint_and_its_words() -> None:
    """Every letter of the note, behind the middle leaf alone, and never the code."""
    pdf = draw(SLIP)

    assert "".join(SLIP.checkpoint_note.split()) in typed(pdf)
    assert "".join((str(SLIP.size), *SLIP.ten_words)) in typed(pdf)
    assert overlaps.outside(pdf, [MIDDLE], page=1) == []
    assert all(group not in typed(pdf) for group in SLIP.code.split("-"))
    assert reading.symbols(picture.grey(pdf, page=1, dpi=300)) == []


def cosigned(keys: int, origin: str = "skm.example/loft") -> TransferSlip:
    """Return a slip whose head was signed by so many keys."""
    signed = f"— {origin} {'kZ3w' * 23}\n" * keys
    note = f"{origin}\n71391\n{'q2n7' * 11}\n\n{signed}"
    return replace(SLIP, checkpoint_note=note)


def test_a_longer_note_is_set_smaller_and_one_too_long_is_refused() -> None:
    """A new key's first head bears two signatures, and a log's name may be long."""
    long = "skerrymoor-fretted-instruments.harbour.example/the/loft/by/the/pier"
    for slip in (
        cosigned(2),
        cosigned(1, long),
        cosigned(2, "ledger-f0e467864d38389d"),
    ):
        pdf = draw(slip)
        assert "".join(slip.checkpoint_note.split()) in typed(pdf)
        assert overlaps.overlaps(pdf, page=1) == []
    with pytest.raises(
        RefusedError, match=r"has \d+ lines, and there is room for 1\d;"
    ):
        draw(cosigned(5))


def test_a_letter_that_no_face_has_is_told() -> None:
    """It is marked on the slip."""
    assert notices(SLIP) == ()
    assert any("한" in told for told in notices(replace(SLIP, shop="한 Loft")))


def test_the_slip_looks_as_it_was_approved() -> None:
    """Three leaves, and the fold between the second and the third; then its back."""
    assert looks.unlike(draw(SLIP), "transfer-slip") == ""
    assert looks.unlike(draw(SLIP), "transfer-slip-back", page=1) == ""


def test_its_checkpoint_rides_in_its_file() -> None:
    """As it was signed, where whoever is sent the file can hold it against a log."""
    note = read_outside(draw(replace(SLIP, checkpoint_note=NOTE)), "a paper").note

    assert note == NOTE
