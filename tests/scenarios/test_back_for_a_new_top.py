"""Back for a new top, then sold on: who may hand it over, and what a stranger hears.

Amélie's guitar comes back after a fall and gets another certificate. She sells it to
Kenji in Sapporo with its slip. Somebody with photographs of the card cannot have it
entered in another name, and whoever says that it was taken is heard by everybody who
checks. At the end the names go, and every proof stays.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

import pytest

from ledger.acts import people, shipments, transfers
from ledger.acts.certificates import card_text, certificate_paper
from ledger.acts.freight import Goods
from ledger.acts.histories import history
from ledger.acts.owners import owner_subject
from ledger.acts.shipments import Journey
from ledger.acts.slipcodes import printed_code
from ledger.audit import audit
from ledger.check import BUT, CANNOT_TELL, YES, Answer, check
from ledger.errors import RefusedError
from ledger.log.card import read_card
from ledger.log.statusfile import read_status_list
from tests import skerrymoor
from tests.aftersale import FIRST, SERIAL, retopped
from tests.handed import card_of, handed_on, later, listed, reported, slip_of
from tests.ledger.buying import sold_by
from tests.skerrymoor import Loft

NEXT = "C-2026-00002"
TODAY = "2026-01-05"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stranger:
    """Somebody far away: both certificates, both cards, the shop's keys file."""

    certificates: dict[str, bytes]
    cards: dict[str, bytes]
    keys: bytes

    def asks(self, number: str, status: bytes | None = None) -> Answer:
        """Return the answer to a certificate."""
        return check(self.certificates[number], self.keys, status, today=TODAY)

    def scans(self, number: str, status: bytes | None = None) -> Answer:
        """Return the answer to a card."""
        return check(self.cards[number], self.keys, status, today=TODAY)


def told(loft: Loft) -> Stranger:
    """Give a stranger all that is on paper."""
    papers = {n: certificate_paper(loft.shop, n) for n in (FIRST, NEXT)}
    card = card_of(loft)
    return Stranger(
        certificates={n: paper.file.data for n, paper in papers.items()},
        cards={
            n: card_text(loft.shop, paper, card).encode() for n, paper in papers.items()
        },
        keys=sold_by(loft, NEXT).keys,
    )


@pytest.fixture(scope="module")
def back_folder(
    tmp_path_factory: pytest.TempPathFactory, certified_folder: Path
) -> Path:
    """Give Amélie's guitar, with its slip drawn, a new top, and both certificates."""
    folder = tmp_path_factory.mktemp("back")
    loft = skerrymoor.again(folder, certified_folder, "back")
    loft.sell(SERIAL)
    slip_of(loft)
    retopped(loft)
    assert loft.issue(SERIAL) == NEXT
    loft.shop.close()
    return folder


@pytest.fixture
def back(
    tmp_path: Path, back_folder: Path, request: pytest.FixtureRequest
) -> Iterator[Loft]:
    """Give a copy of that shop, open."""
    made = skerrymoor.again(tmp_path, back_folder, request.node.name)
    made.clock.moment += timedelta(hours=2)
    yield made
    made.shop.close()


def test_both_certificates_verify_and_the_list_says_which_is_newer(
    back: Loft,
) -> None:
    """The older one stays true as of its day, on paper and on the card."""
    stranger, status = told(back), listed(back)

    assert list(read_status_list(status).states.values()) == [("superseded",)]
    for ask in (stranger.asks, stranger.scans):
        for number in (FIRST, NEXT):
            assert ask(number).word == ask(number, status).word == YES
        assert ask(FIRST, status).reasons[0].startswith("superseded: the shop issued")
        (said,) = ask(NEXT, status).status.words  # type: ignore[union-attr]
        assert said.startswith("nothing is said against it in status list ")
    assert check(status, stranger.keys).word == CANNOT_TELL


def test_it_goes_to_sapporo_by_its_slip_and_nobody_hears_of_amelie(
    back: Loft,
) -> None:
    """Kenji sees materials and service; her name is the office's alone."""
    before = listed(back)
    handed_on(back, slip_of(back), "Kenji Arakawa")
    shop = back.shop
    with shop.store.reading() as session:
        said = [fact.said for fact in history(shop, session, SERIAL, "owner")]

    assert "another owner was entered" in said
    assert any("service: new top fitted" in words for words in said)
    assert not any("Rousset" in words or "Arakawa" in words for words in said)
    stranger = told(back)
    assert stranger.scans(NEXT, listed(back)).word == YES
    # A change of owner is nobody's business: the lists differ by number alone.
    assert read_status_list(listed(back)).states == read_status_list(before).states
    assert b"Arakawa" not in stranger.certificates[NEXT] + stranger.cards[NEXT]


def test_a_thief_with_photographs_of_card_and_certificate_transfers_nothing(
    back: Loft,
) -> None:
    """Whatever is in sight is no code: not the token, not a digest, not an old slip."""
    stranger, slip = told(back), slip_of(back)
    seen = read_card(stranger.cards[NEXT].decode()).claims
    facts = stranger.asks(NEXT).facts
    assert facts is not None
    guesses = [
        printed_code(raw)
        for raw in (
            seen.status_token,
            seen.leaf[:16],
            bytes.fromhex(facts.transfer_sha256)[:16],
        )
    ]
    size = back.shop.store.head().size
    for guess in (*guesses, SERIAL, slip.number, facts.transfer_sha256):
        with pytest.raises(RefusedError):
            transfers.transfer(
                back.shop,
                serial=SERIAL,
                code=guess,
                name="A thief",
                transferred_on=None,
                hands=back.hands("12"),
            )
    assert back.shop.store.head().size == size
    assert slip.code not in b"".join(
        (*stranger.certificates.values(), *stranger.cards.values())
    )
    assert handed_on(back, slip).used == slip.number


def test_a_report_is_heard_by_whoever_checks_and_stops_the_slip(back: Loft) -> None:
    """Of both certificates; the word is no more than reported."""
    slip = slip_of(back)
    reported(back, "Somebody from Lyon")
    stranger, status = told(back), listed(back)

    for ask in (stranger.asks, stranger.scans):
        for number in (FIRST, NEXT):
            answer = ask(number, status)
            assert answer.word == BUT
            said = " ".join(answer.reasons)
            assert "reported: contact the maker before you buy" in said
            assert "stolen" not in said and "Lyon" not in said
    with pytest.raises(RefusedError, match="is reported"):
        handed_on(back, slip)


def test_the_names_go_and_every_proof_stays(back: Loft) -> None:
    """Both owners and the claimant, once the report is no longer young."""
    handed_on(back, slip_of(back))
    claimant = reported(back).claimant
    gone = [owner_subject(back.shop, SERIAL, n) for n in (1, 2)] + [claimant]
    with pytest.raises(RefusedError, match="are erased from 2026-02-04 on"):
        people.erase(back.shop, gone[0], back.hands("12", "01"))
    later(back, 30)
    for subject in gone:
        people.erase(back.shop, subject, back.hands("12", "01"))

    assert not back.shop.vault.subjects() & set(gone)
    assert audit(back.shop).findings == ()
    stranger, status = told(back), listed(back)
    for number in (FIRST, NEXT):
        assert stranger.asks(number).word == YES
        assert stranger.asks(number, status).word == BUT


def test_its_papers_to_japan_are_worked_out_for_the_new_top(back: Loft) -> None:
    """Of the newer certificate's wood, on the day on which it leaves."""
    plan = shipments.plan(
        back.shop,
        goods=Goods(serials=(SERIAL,)),
        journey=Journey(legs=("IT", "JP"), moves_on="2026-01-09", purpose="sale"),
        hands=back.hands("12"),
    )
    facts = {m.part: m for m in plan.materials}

    assert facts["top"].lot == "L26-003"
    assert facts["top"].mass_mg == 188_000
