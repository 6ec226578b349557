"""Each turn leaves its head in the account, and the first of a day a signed one."""

import shutil
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from ledger.acts import outside
from ledger.acts.heads import sign_head
from ledger.acts.logkey import replace_log_key
from ledger.acts.shop import open_shop
from ledger.acts.signing import LOG_KEY
from ledger.audit import audit
from ledger.errors import TamperError
from ledger.log import seen
from ledger.log.checkpoint import checkpoint_by, verified_checkpoint
from tests.skerrymoor import Loft


@pytest.fixture
def kept(loft: Loft, tmp_path: Path) -> Loft:
    """Give a shop whose account remembers, after the first turn of its day."""
    loft.shop = replace(loft.shop, state=tmp_path / "account")
    loft.model("Tidewarden")
    return loft


def sizes(loft: Loft) -> list[int]:
    """Return the sizes of the heads that were signed."""
    return [size for size, _ in loft.shop.store.checkpoints()]


def test_a_log_put_back_behind_an_unsigned_turn_is_told(
    kept: Loft, tmp_path: Path
) -> None:
    """Nothing more is said on it; an audit tells, and where they are back all is well.

    Else the next act would take the place of an entry that was said.
    """
    older, shop = tmp_path / "older", kept.shop
    shop.store.close()
    shutil.copytree(shop.folder, older)
    kept.model("Nightferry")
    size = shop.store.head().size
    assert sizes(kept) == [size - 1]
    back = open_shop(older, now=shop.now, entropy=shop.entropy, state=shop.state)
    put_back = replace(kept, shop=back)
    told = (
        f"this ledger ends at {size - 1}; this account saw {size} entries on Monday "
        f"2026-01-05: 1 entry is missing"
    )

    assert str(outside.find_gap(back.store, older, shop.state)) == told
    for act in (lambda: put_back.model("Slipway"), lambda: sign_head(back)):
        with pytest.raises(
            TamperError, match="1 entry is missing; nothing is recorded"
        ):
            act()
    assert [str(f.detail) for f in audit(back, level="tree").findings] == [told]

    # Another account goes on with it, and there the histories part.
    blind = replace(put_back, shop=replace(back, state=None))
    blind.model("Slipway")
    gap = outside.find_gap(back.store, older, shop.state)
    assert gap is not None and not gap.kept.is_signed and gap.missing == 0
    assert str(gap) == (
        f"this ledger holds another history: its first {size} entries are not those "
        f"that this account saw on Monday 2026-01-05"
    )
    with pytest.raises(TamperError, match="another history"):
        put_back.model("Fairlead")
    kept.model("Fairlead")
    back.close()


def test_the_first_turn_of_a_day_leaves_a_signed_head(kept: Loft) -> None:
    """The others leave none; a day without work neither."""
    first = kept.shop.store.head().size
    kept.model("Nightferry")
    assert sizes(kept) == [first]
    kept.clock.moment += timedelta(days=2)
    kept.model("Slipway")
    kept.model("Fairlead")

    assert sizes(kept) == [first, first + 2]
    assert audit(kept.shop, level="tree").findings == ()
    assert kept.shop.state is not None
    known = seen.read(kept.shop.state, kept.shop.standing().origin)
    assert known.newest is not None and known.newest.day == "2026-01-07"
    assert known.sighted is not None and known.sighted.head.size == first + 3


def test_a_day_without_the_log_s_key_goes_on_unsigned(kept: Loft) -> None:
    """What was said stands, and is remembered."""
    signed, size = sizes(kept), kept.shop.store.head().size
    (kept.shop.keys / LOG_KEY).unlink()
    kept.clock.moment += timedelta(days=1)
    kept.model("Nightferry")

    assert sizes(kept) == signed
    assert kept.shop.state is not None
    known = seen.read(kept.shop.state, kept.shop.standing().origin)
    assert known.sighted is not None and known.sighted.head.size == size + 1


def test_a_new_log_key_s_first_head_bears_the_old_one_s_signature_still(
    kept: Loft,
) -> None:
    """Even where its entry is the first of the day."""
    old = outside.log_keys(kept.shop.store)[0]
    kept.clock.moment += timedelta(days=1)
    made = replace_log_key(kept.shop, kept.hands("01", "roots"))

    assert made.is_cosigned and verified_checkpoint(made.head, [old])
    assert checkpoint_by(made.head, kept.shop.standing().log_keys_at)
