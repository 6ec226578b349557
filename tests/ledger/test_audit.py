"""What papers carried out of the building is compared with what the log signed."""

from typing import Any

import pytest

from ledger.acts.heads import sign_head
from ledger.audit import Outside, audit
from ledger.events import TagPrinted, codec
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.log.entry import parse_record
from ledger.views.fold import fold
from tests.ledger.audit.tampering import appended, index_of
from tests.sentences import say_everything
from tests.skerrymoor import Loft

FORGERIES: dict[str, tuple[dict[str, Any], str]] = {
    "another root": ({"root": "5a" * 32}, "another root of {size} entries"),
    "a root of fewer": ({"size": 7}, "a head of 7 entries, never signed"),
    "a head to come": ({"size": 9_999}, "a head of 9999 entries, never signed"),
}


@pytest.mark.parametrize("kind", ["build.tag-printed/1", "shipment.papers-printed/1"])
@pytest.mark.parametrize("forgery", FORGERIES)
def test_a_paper_that_carries_no_head_of_this_log_is_found(
    certified: Loft, kind: str, forgery: str
) -> None:
    """A lead signed for it, and yet it vouches for nothing that happened here."""
    say_everything(certified)
    first = audit(certified.shop)
    said = parse_record(certified.shop.store.record(index_of(certified, kind)))
    changes, why = FORGERIES[forgery]
    following = {"number": said.entry.event["number"] + 1}
    event = said.entry.event | following | changes
    made = appended(certified, event, fold=fold)
    report = audit(certified.shop)

    # What is said of everything there is waits for no turn on the road.
    assert {finding.cause for finding in first.findings} == {"road"}
    assert [str(each) for each in report.findings if each not in first.findings] == [
        f"entry {made.entry.index}: checkpoint: the paper carries "
        + why.format(size=said.entry.event["size"])
    ]
    assert report.newest_outside == first.newest_outside
    assert not report


def test_a_head_that_was_signed_after_the_paper_is_no_head_of_it(
    certified: Loft,
) -> None:
    """Who prints first and lets the head grow to it has left nothing outside."""
    size = certified.shop.store.head().size + 2
    said = TagPrinted(
        serial="26-0001-8", number=1, size=size, root="5a" * 32, sha256="5b" * 32
    )
    made = appended(certified, codec.plain(said), fold=fold)
    certified.model("Slipway")
    head = parse_checkpoint(parse_note(sign_head(certified.shop)))
    report = audit(certified.shop, against=Outside(size=size, root_start=head.root))

    assert head.size == size
    assert [(f.index, f.cause) for f in report.findings] == [
        (made.entry.index, "checkpoint")
    ]
    assert report.newest_outside is None


def test_a_head_that_somebody_brings_makes_no_paper_sound(certified: Loft) -> None:
    """That a root is right does not say that the log ever signed it."""
    head = certified.shop.store.head()
    said = TagPrinted(
        serial="26-0001-8",
        number=1,
        size=head.size,
        root=head.root.hex(),
        sha256="5b" * 32,
    )
    appended(certified, codec.plain(said), fold=fold)
    against = Outside(size=head.size, root_start=head.root[:10])
    report = audit(certified.shop, against=against)

    assert [finding.cause for finding in report.findings] == ["checkpoint"]
    assert report.newest_outside is None
