"""Sawyers, papers, lots and boards: what is taken down, and what is refused."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from ledger.acts import people, wood
from ledger.acts.wood import DuplicateLotError
from ledger.audit import audit
from ledger.errors import LedgerError, NotFoundError, RefusedError
from ledger.ids import LotId
from ledger.log import attachments
from ledger.views.wood import Board, Document, Lot, boards_of, documents_of
from tests.skerrymoor import NECK, TOP, Loft

HOSTILE = {
    "turned around": "Ferrante \u202e& Daughters",
    "with a bell": "Ferrante\x07",
    "with a nought": "Ferrante\x00",
    "of two lines": "Ferrante\n& Daughters",
    "half a character": "Ferrante \udcff",
    "taken apart": "Rosalind Achte\u0308rberg",
    "unassigned": "Ferrante \U0001fbff\u0378",
    "endless": "F" * 10_000,
    "empty": "",
    "blank": " \t ",
}


@pytest.fixture
def supplied(loft: Loft) -> Loft:
    """Give a shop that knows one sawyer."""
    loft.supplier()
    return loft


def untouched(loft: Loft, size: int) -> bool:
    """Tell that nothing was recorded since, and that everything is whole."""
    return loft.shop.store.head().size == size and audit(loft.shop).findings == ()


@pytest.mark.parametrize("what", HOSTILE)
def test_a_hostile_name_is_refused_and_kept_nowhere(loft: Loft, what: str) -> None:
    """Bidi, control characters, surrogates, another Unicode form, ten thousand."""
    size, known = loft.shop.store.head().size, loft.shop.vault.subjects()
    with pytest.raises(RefusedError):
        loft.supplier(HOSTILE[what])

    assert loft.shop.vault.subjects() == known
    assert untouched(loft, size)


@pytest.mark.parametrize("name", ["D'Arcy & Söhne", "若林木材", "Mbeki-Laurent Ebène"])
def test_a_name_in_any_script_is_kept_as_it_is(loft: Loft, name: str) -> None:
    """Apostrophes, umlauts and Japanese stand in no file of the log."""
    assert loft.supplier(f" {name} ") == name
    found = wood.find_supplier(loft.shop, name.casefold())

    with loft.shop.store.reading() as session:
        session.expunge_all()
        assert wood.named(loft.shop, session)[0][1] == name
    assert (found.shown, found.region, found.country) == ("by-name", "Val Corda", "IT")
    records = b"".join(data for _, data in loft.shop.store.records())
    assert name.encode() not in records


def test_a_sawyer_is_entered_once(supplied: Loft) -> None:
    """In whatever letters the name is typed."""
    with pytest.raises(RefusedError, match="is entered already"):
        supplied.supplier("FERRANTE & daughters ")


def test_part_of_a_name_finds_one_sawyer_and_no_two(supplied: Loft) -> None:
    """The whole name finds its own even where others begin with it."""
    supplied.supplier("Ferrante & Daughters, Val Torta")
    with pytest.raises(RefusedError, match="fits several"):
        wood.find_supplier(supplied.shop, "ferrante")
    with pytest.raises(NotFoundError, match="no sawyer here"):
        wood.find_supplier(supplied.shop, "Valdesund")
    with pytest.raises(NotFoundError):
        wood.find_supplier(supplied.shop, "  ")

    assert wood.find_supplier(supplied.shop, "Ferrante & Daughters").idx


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"country": "Italy"}, "no country of two letters"),
        ({"country": "it"}, "no country"),
        ({"country": "IT\n"}, "no country"),
        ({"shown": "by-region", "region": None}, "needs a region"),
        ({"shown": "in-lights"}, "shown"),
        ({"region": "Val\x00Corda"}, "cannot be written"),
        ({"region": "Val \udcff"}, "cannot be written"),
    ],
)
def test_a_sawyer_s_particulars_are_sound(
    loft: Loft, changes: dict[str, Any], said: str
) -> None:
    """Countries are two capital letters, and a region is shown if there is one."""
    told: dict[str, Any] = {"name": "Wairere Timber Family", "shown": "by-name"}
    told |= {"region": None, "country": None, "hands": loft.hands("02")} | changes
    known = loft.shop.vault.subjects()
    with pytest.raises(RefusedError, match=said):
        wood.record_supplier(loft.shop, **told)

    assert loft.shop.vault.subjects() == known


@pytest.mark.parametrize("badge", ["03", "10"])
def test_wood_is_received_by_whoever_is_qualified(supplied: Loft, badge: str) -> None:
    """The others are told what is needed."""
    draft = supplied.draft()
    with pytest.raises(RefusedError, match=r"lot\.received needs the role lead or the"):
        wood.receive_lot(supplied.shop, draft, supplied.hands(badge))


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"boards": 0}, "at least one board"),
        ({"boards": -3}, "at least one board"),
        ({"species": "spruce"}, "no scientific name"),
        ({"species": ""}, "no scientific name"),
        ({"species": "Picea abies\u202e"}, "cannot be written"),
        ({"species": "Picea \udcff"}, "cannot be written"),
        ({"received_on": "2026-1-5"}, "no day"),
        ({"received_on": "2026-02-30"}, "no day"),
        ({"received_on": "20260105"}, "no day"),
        ({"received_on": "2026-W02-1"}, "no day"),
        ({"received_on": ""}, "no day"),
        ({"received_on": "\u0662\u0660\u0662\u0666-01-05"}, "no day"),
        ({"harvested_in": "Italy"}, "no country"),
        ({"supplier": None}, "comes from somebody"),
        ({"is_opening": True}, "how its origin is known"),
        ({"documents": ("D26-0099",)}, "no document D26-0099"),
        ({"species": "P " + "x" * 70_000}, "an entry may have"),
    ],
)
def test_a_lot_that_does_not_make_sense_is_refused(
    supplied: Loft, changes: dict[str, Any], said: str
) -> None:
    """Nothing of it is recorded."""
    draft = replace(supplied.draft(), **changes)
    size = supplied.shop.store.head().size
    with pytest.raises(LedgerError, match=said):
        wood.receive_lot(supplied.shop, draft, supplied.hands("02"))

    assert untouched(supplied, size)


def test_lots_are_numbered_one_after_the_other(supplied: Loft) -> None:
    """A code that was chosen is kept, and the next one goes on from there."""
    first = supplied.receive()
    chosen = supplied.receive(code=LotId(year=26, number=40))
    old = supplied.receive(is_opening=True, evidence="diary", species="unknown")

    assert [str(lot) for lot in (first, chosen, old)] == [
        "L26-001",
        "L26-040",
        "L26-041",
    ]
    with pytest.raises(RefusedError, match="L26-040 is there already"):
        supplied.receive(code=LotId(year=26, number=40))
    supplied.receive(code=LotId(year=26, number=999))
    with pytest.raises(RefusedError, match="999"):
        supplied.receive()


def test_the_same_delivery_comes_in_once(supplied: Loft) -> None:
    """Another species on the same paper is another lot."""
    paper = supplied.document()
    lot = supplied.receive(documents=(paper,))
    with pytest.raises(DuplicateLotError, match=f"lot {lot} of the same species"):
        supplied.receive(documents=(paper,))
    other = supplied.receive(documents=(paper,), species="Acer pseudoplatanus")
    supplied.receive(documents=(supplied.document("another delivery note"),))

    with supplied.shop.store.reading() as session:
        assert [d.code for d in documents_of(session, str(other))] == [paper]


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"issued_on": "3 January"}, "no day"),
        ({"expires_on": "2026-13-01"}, "no day"),
        ({"paper": "note\x1b[2J"}, "cannot be written"),
        ({"number": "7/\u2066 26"}, "cannot be written"),
    ],
)
def test_a_paper_whose_facts_do_not_make_sense_is_not_filed(
    loft: Loft, changes: dict[str, Any], said: str
) -> None:
    """Neither its facts nor its bytes are kept."""
    with pytest.raises(RefusedError, match=said):
        loft.document("a note", is_personal=True, **changes)

    assert attachments.digests(loft.shop.attachments) == ()
    with loft.shop.store.reading() as session:
        assert session.get(Document, "D26-0001") is None


def test_a_personal_paper_lies_behind_a_salt(loft: Loft) -> None:
    """Who has the paper cannot show that the log speaks of it."""
    open_code = loft.document("the same words")
    salted_code = loft.document("the same words", is_personal=True)
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


def test_boards_are_numbered_until_the_lot_is_used_up(supplied: Loft) -> None:
    """A set counts as one, and both its halves get a code."""
    lot = supplied.receive(boards=3)
    first = supplied.number(lot, TOP, NECK)
    with pytest.raises(RefusedError, match=r"3 boards, 2 are numbered and 2 more"):
        supplied.number(lot, NECK, NECK)
    last = supplied.number(lot, NECK)

    assert first == ["L26-001-01.A", "L26-001-01.B", "L26-001-02"]
    assert last == ["L26-001-03"]
    with pytest.raises(RefusedError, match="1 more would be too many"):
        supplied.number(lot, NECK)


def test_more_than_ninety_nine_boards_go_on_in_three_digits(supplied: Loft) -> None:
    """The next number is the highest one and one more, not the last in spelling."""
    lot = supplied.receive(boards=102)
    supplied.number(lot, *[NECK] * 99)
    rest = [supplied.number(lot, NECK)[0] for _ in range(3)]

    assert rest == ["L26-001-100", "L26-001-101", "L26-001-102"]


@pytest.mark.parametrize(
    "changes",
    [
        {"masses_mg": ()},
        {"masses_mg": (1, 2, 3)},
        {"masses_mg": (0,)},
        {"masses_mg": (-5,)},
        {"length_um": 0},
        {"width_um": -1},
        {"thickness_um": 0},
        {"meant_for": "top\x00"},
        {"meant_for": "top \udcff"},
        {"length_um": 2**53},
    ],
)
def test_a_board_that_cannot_be_is_refused(
    supplied: Loft, changes: dict[str, Any]
) -> None:
    """No board is without length, or weighs less than nothing; none is recorded."""
    lot = supplied.receive()
    size = supplied.shop.store.head().size
    with pytest.raises(RefusedError):
        supplied.number(lot, NECK, replace(NECK, **changes))

    assert untouched(supplied, size)


def test_boards_of_an_unknown_lot_are_refused(loft: Loft) -> None:
    """The lot comes first."""
    with pytest.raises(NotFoundError, match="there is no lot L26-007"):
        loft.number(LotId(year=26, number=7))


def test_labels_are_counted_for_boards_that_are_there(supplied: Loft) -> None:
    """A label for a board that was never numbered is refused as a whole."""
    (code,) = supplied.number(supplied.receive(), NECK)
    told: dict[str, Any] = {"paper": "51 x 22", "sha256": "ab" * 32}
    hands = supplied.hands("02")
    wood.labels_printed(supplied.shop, [code], hands=hands, **told)
    with pytest.raises(NotFoundError, match="no board L26-001-02"):
        wood.labels_printed(supplied.shop, [code, "L26-001-02"], hands=hands, **told)

    with supplied.shop.store.reading() as session:
        assert session.get_one(Board, code).labels == 1
        assert session.get_one(Lot, "L26-001").boards == 24
        assert len(boards_of(session, "L26-001")) == 1


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
