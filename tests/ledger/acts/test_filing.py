"""A file stays where an entry names it, and goes again where none does."""

import pytest

from ledger.acts.filing import kept_file
from ledger.audit import audit
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BoardPhotographed
from ledger.log import attachments
from tests.skerrymoor import Loft

BYTES = b"what the camera gave"
DIGEST = attachments.digest_of(BYTES)


@pytest.fixture
def racked(loft: Loft) -> Loft:
    """Give a shop with one set of spruce, L26-001-01."""
    loft.supplier()
    loft.number(loft.receive())
    return loft


def file(loft: Loft, badge: str = "02") -> None:
    """File the bytes as a photograph of a half."""
    event = BoardPhotographed(board="L26-001-01.A", face="front", sha256=DIGEST)
    with kept_file(loft.shop, BYTES, announced=DIGEST) as turn:
        turn.say(event, loft.hands(badge))


def test_a_file_that_nothing_names_goes_again(racked: Loft) -> None:
    """Whoever may not say it leaves no file behind."""
    with pytest.raises(RefusedError, match=r"photographing a board needs"):
        file(racked, "12")

    assert attachments.digests(racked.shop.attachments) == ()


def test_a_file_that_something_names_stays(racked: Loft) -> None:
    """A second entry that is refused takes nothing from the first."""
    file(racked)
    with pytest.raises(RefusedError):
        file(racked, "12")

    assert attachments.read(racked.shop.attachments, DIGEST) == BYTES
    assert audit(racked.shop).findings == ()


def test_a_file_that_was_there_before_stays(racked: Loft) -> None:
    """It may be another's, who is about to speak of it."""
    attachments.put(racked.shop.attachments, BYTES)
    with pytest.raises(RefusedError):
        file(racked, "12")

    assert attachments.digests(racked.shop.attachments) == (DIGEST,)


def test_a_file_that_only_the_unsaid_names_goes_again(racked: Loft) -> None:
    """Of two entries in one turn the second is refused, and both are unsaid."""
    event = BoardPhotographed(board="L26-001-01.B", face="front", sha256=DIGEST)
    with (
        pytest.raises(RefusedError),
        kept_file(racked.shop, BYTES, announced=DIGEST) as turn,
    ):
        turn.say(event, racked.hands("02"))
        turn.say(event, racked.hands("12"))

    assert attachments.digests(racked.shop.attachments) == ()


def test_a_file_that_was_swept_meanwhile_is_not_spoken_of(
    racked: Loft, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another station tidied between the file and its entry: file it again."""
    size, put = racked.shop.store.head().size, attachments.put

    def swept(*told: object, **how: object) -> None:
        put(*told, **how)  # type: ignore[arg-type]
        attachments.remove(racked.shop.attachments, DIGEST)

    monkeypatch.setattr(attachments, "put", swept)
    with pytest.raises(NotFoundError, match="bring it back"):
        file(racked)

    assert racked.shop.store.head().size == size
