"""Papers are filed under their digest; personal ones behind a salt."""

from pathlib import Path
from typing import Any

import pytest

from ledger.acts import people
from ledger.errors import LedgerError, RefusedError
from ledger.log import attachments
from ledger.views.wood import Document
from tests.skerrymoor import Loft


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"issued_on": "3 January"}, "no day"),
        ({"expires_on": "2026-13-01"}, "no day"),
        ({"issued_on": "2099-01-01"}, "2099-01-01 is still to come, and today is"),
        ({"text": ""}, "paper.txt is empty: scan the paper again"),
        ({"paper": "note\x1b[2J"}, "cannot be written"),
        ({"number": "7/\u2066 26"}, "cannot be written"),
    ],
)
def test_a_paper_whose_facts_do_not_make_sense_is_not_filed(
    loft: Loft, changes: dict[str, Any], said: str
) -> None:
    """Neither its facts nor its bytes are kept."""
    text = changes.get("text", "a note")
    facts = {name: value for name, value in changes.items() if name != "text"}
    with pytest.raises(RefusedError, match=said):
        loft.document(text, is_personal=True, **facts)

    assert attachments.digests(loft.shop.attachments) == ()
    with loft.shop.store.reading() as session:
        assert session.get(Document, "D26-0001") is None


def test_a_personal_paper_lies_behind_a_salt(loft: Loft) -> None:
    """Who has the paper cannot show that the log speaks of it."""
    open_code = loft.document("other words")
    salted_code = loft.document("a letter", is_personal=True)
    with loft.shop.store.reading() as session:
        known, hidden = (
            session.get(Document, open_code),
            session.get(Document, salted_code),
        )
        assert known is not None
        assert hidden is not None
        digests = known.digest, hidden.digest
        salts = known.is_salted, hidden.is_salted

    assert salts == (False, True)
    assert digests[0] != digests[1]
    assert set(digests) == set(attachments.digests(loft.shop.attachments))
    salt = loft.shop.vault.get_salt(digests[1])
    attachments.verify(loft.shop.attachments, digests[1], salt=salt or b"")


def test_a_personal_paper_is_about_somebody(loft: Loft) -> None:
    """Else no erasing would ever reach it; and a stranger is nobody."""
    for about, said in ((None, "give --about"), ("e" * 32, "is nobody")):
        with pytest.raises(RefusedError, match=said):
            loft.document("a letter", is_personal=True, about=about)
    erased = loft.person("03").subject
    people.erase(loft.shop, erased, loft.hands("12", "01"))
    with pytest.raises(RefusedError, match="is nobody"):
        loft.document("a letter", about=erased)

    assert attachments.digests(loft.shop.attachments) == ()
    assert loft.shop.vault.salted() == frozenset()


def test_the_salt_of_a_personal_paper_comes_before_its_file(
    loft: Loft, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A cut between them leaves a salt to sweep, and no file that nothing names."""
    known: list[frozenset[str]] = []
    put = attachments.put

    def watched(*told: Any, **how: Any) -> str:
        known.append(loft.shop.vault.salted())
        return put(*told, **how)

    monkeypatch.setattr(attachments, "put", watched)
    loft.document("a letter", is_personal=True)

    assert known == [frozenset(attachments.digests(loft.shop.attachments))]


@pytest.mark.parametrize("what", ["file", "salt"])
def test_a_paper_that_was_swept_meanwhile_is_not_filed(
    loft: Loft, monkeypatch: pytest.MonkeyPatch, what: str
) -> None:
    """Another station tidied between the file and its entry: file it again."""
    put = attachments.put

    def swept(folder: Path, *told: Any, **how: Any) -> str:
        digest = put(folder, *told, **how)
        if what == "file":
            attachments.remove(folder, digest)
        else:
            loft.shop.vault.forget_salt(digest)
        return digest

    monkeypatch.setattr(attachments, "put", swept)
    size = loft.shop.store.head().size
    with pytest.raises(LedgerError):
        loft.document("a letter", is_personal=True)

    assert loft.shop.store.head().size == size
