"""An answer to a check: the word first, facts only where they may be shown."""

import json
from dataclasses import replace

import pytest

from cli import verdict
from ledger.acts.certificates import card_text, certificate_paper
from ledger.acts.signing import card_key, find_person
from ledger.check import CANNOT_TELL, NO, YES, Answer, check
from tests.shops import certified, certified_folder
from tests.skerrymoor import LEAD, Loft

__all__ = ["certified", "certified_folder"]


@pytest.fixture(params=["certificate", "card"])
def answer(certified: Loft, request: pytest.FixtureRequest) -> Answer:
    """Give what is said of a whole certificate or card without a keys file."""
    paper = certificate_paper(certified.shop, "C-2026-00001")
    data = paper.file.data
    if request.param == "card":
        lead = find_person(certified.shop, LEAD.badge)
        key = card_key(certified.shop, lead, LEAD.pin)
        data = card_text(certified.shop, paper, key).encode()
    return check(data, None)


@pytest.mark.parametrize(
    ("word", "heading"),
    [
        (YES, "The record says:"),
        (CANNOT_TELL, "It claims, and nobody vouches:"),
        (NO, None),
    ],
)
def test_facts_follow_the_word(answer: Answer, word: str, heading: str | None) -> None:
    """And after NO there are none."""
    lines = list(verdict.as_lines(replace(answer, word=word)))

    assert lines[:2] == [word, f"  {answer.reasons[0]}"]
    assert (heading in lines) is (heading is not None)
    assert ("  serial       26-0001-8" in lines) is (heading is not None)
    assert any("Picea abies" in line for line in lines) is (heading is not None)


def test_an_entry_is_told_by_its_kind_and_its_signer() -> None:
    """Of a proof of something else than a certificate there are no other facts."""
    answer = Answer(
        word=YES,
        reasons=("this entry stands in the shop's log",),
        index=4,
        entered="2026-01-05T09:00:00Z",
        said="lot.received/1",
        key="c54e7deb9709ea6b",
        keys_date="2026-11-24",
    )
    (text,) = verdict.as_json(answer)

    assert list(verdict.as_lines(answer))[3:-2] == [
        "The record says:",
        "  kind         lot.received/1",
        "  signed by    key c54e7deb9709ea6b",
        "  entered      2026-01-05T09:00:00Z, entry 4",
        "  keys file    of 2026-11-24",
    ]
    assert json.loads(text)["kind"] == "lot.received/1"
    assert json.loads(text)["signed_by"] == "c54e7deb9709ea6b"


def test_a_no_tells_a_program_nothing_of_the_record(answer: Answer) -> None:
    """Neither facts nor names nor the card's."""
    (text,) = verdict.as_json(replace(answer, word=NO))
    told = json.loads(text)

    assert (told["facts"], told["names"], told["card"]) == (None, None, None)


def test_a_program_is_told_plain_values(answer: Answer) -> None:
    """Days and digests as text."""
    (text,) = verdict.as_json(answer)
    told = json.loads(text)
    facts = told["facts"] or told["card"]

    assert facts["serial"] == "26-0001-8"
    assert told["answer"] == CANNOT_TELL


@pytest.mark.parametrize(
    ("file", "is_signed"),
    [
        (b"%PDF-1.7\n/ByteRange [0 1 2 3]", True),
        (b"%PDF-1.7\n/ByteRan", False),
        (b'{"what": "/ByteRange"}', False),
    ],
)
def test_only_a_pdf_bears_a_signature_of_its_own(file: bytes, is_signed: bool) -> None:
    """A certificate's file that speaks of one bears none."""
    assert verdict.bears_signature(file) is is_signed


@pytest.mark.parametrize("word", [YES, NO, CANNOT_TELL])
def test_a_signature_of_the_pdf_is_told_and_not_judged(
    answer: Answer, word: str
) -> None:
    """Whatever the answer is, it stands under its reasons once, and nowhere else."""
    said = replace(answer, word=word)
    lines = list(verdict.as_lines(said, bears_signature=True))
    (text,) = verdict.as_json(said, bears_signature=True)
    (plain,) = verdict.as_json(said)

    assert lines[len(said.reasons) + 1] == f"  {verdict.OWN_SIGNATURE}"
    assert lines.count(f"  {verdict.OWN_SIGNATURE}") == 1
    assert verdict.OWN_SIGNATURE not in "".join(verdict.as_lines(said))
    assert json.loads(text)["pdf_signature"] == verdict.OWN_SIGNATURE
    assert json.loads(plain).items() <= json.loads(text).items()
    assert "pdf_signature" not in json.loads(plain)


def test_letters_that_deceive_the_eye_are_told_beside_the_facts(
    answer: Answer,
) -> None:
    """A name is shown as it was written, and what it hides is said in words."""
    name, remark = "M\u0430ura", "letters of two alphabets: Cyrillic and Latin"
    card = replace(answer.card, model=name) if answer.card else None
    facts = replace(answer.facts, model=name) if answer.facts else None
    odd = replace(answer, card=card, facts=facts)

    assert any(name in line and remark in line for line in verdict.as_lines(odd))
    assert json.loads("".join(verdict.as_json(odd)))["letters"] == {name: [remark]}
    assert not any("letters" in line for line in verdict.as_lines(answer))
    no = replace(odd, word=NO)
    assert json.loads("".join(verdict.as_json(no)))["letters"] == {}
