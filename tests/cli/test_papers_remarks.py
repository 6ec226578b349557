"""What a certificate says plainly: each thing once, with its day and its entry."""

from cli import papers, papers_remarks
from labels.certificate import Remark
from labels.tongue import tongue
from ledger.acts import corrections, measuring, overrides, sawing
from ledger.acts.certificates import certificate_paper
from ledger.events import BoardWeighed
from ledger.ids import LotId
from tests.shops import loft, staffed_folder
from tests.skerrymoor import NECK, TOP, Loft

__all__ = ["loft", "staffed_folder"]


def said(loft: Loft, number: str, language: str = "en") -> dict[int, str]:
    """Return the remarks of a certificate by their entry."""
    paper = certificate_paper(loft.shop, number)
    drawn = papers.owner_certificate(loft.shop, paper, "V#1", language)

    assert list(drawn.remarks) == sorted(drawn.remarks)
    return {remark.entry: remark.text for remark in drawn.remarks}


def begun(loft: Loft) -> tuple[str, str, str]:
    """Return an instrument, a set of tops and a neck that nobody took yet."""
    loft.supplier()
    lot = loft.receive()
    loft.number(lot, TOP, NECK)
    loft.model()
    return loft.begin(), f"{lot}-01", f"{lot}-02"


def test_nothing_out_of_the_way_is_no_remark(loft: Loft) -> None:
    """A plain life is told in no words."""
    assert said(loft, loft.issue(loft.build())) == {}


def test_wood_used_before_it_was_ready_is_said_with_the_rule(loft: Loft) -> None:
    """Both halves in one remark with both entries; why, only the shop knows."""
    serial, top, neck = begun(loft)
    loft.adopt()
    given = overrides.override(
        loft.shop, code=top, serial=serial, reason="for the fair", hands=loft.hands()
    )
    loft.adopt(rest=[], **rest_of_none())
    loft.allot(serial, "top", top)
    loft.allot(serial, "neck", neck)
    loft.finish(serial)
    remarks = said(loft, loft.issue(serial))
    first, second = (entry.index for entry in given)

    assert list(remarks) == [first]
    assert remarks[first].startswith(
        f"top: {top} was let through before it was ready: "
    )
    assert remarks[first].endswith(f" (entries {first} and {second})")
    assert "fair" not in remarks[first]


def test_equal_reasons_of_a_day_are_one_remark(loft: Loft) -> None:
    """It names its parts, or counts many, with every entry."""
    serial, top, neck = begun(loft)
    loft.adopt()
    given = [
        entry.index
        for code in (top, neck)
        for entry in overrides.override(
            loft.shop, code=code, serial=serial, reason="now", hands=loft.hands()
        )
    ]
    loft.adopt(rest=[], **rest_of_none())
    loft.allot(serial, "top", top)
    loft.allot(serial, "neck", neck)
    loft.finish(serial)
    remarks = said(loft, loft.issue(serial))

    assert list(remarks) == given[:1]
    assert remarks[given[0]].startswith(
        "top and neck: let through before they were ready: "
    )
    assert remarks[given[0]].endswith(
        f" (entries {given[0]}, {given[1]} and {given[2]})"
    )
    assert "'" not in remarks[given[0]]
    many = papers_remarks._parts_in_words(list("abcde"), tongue("en"))
    assert many == "5 parts"


def rest_of_none() -> dict[str, object]:
    """Return limits that let any wood be used."""
    return {
        "id": "at-once",
        "rest_of_others": {"least_days": 0, "preferred_days": 0},
        "steady": {"weighings": 0, "apart_days": 0, "within_ppm": 0},
        "room": {"least_humidity_ppm": 0, "most_humidity_ppm": 0, "fresh_days": 0},
    }


def test_a_struck_entry_of_the_instrument_or_its_wood_is_said(loft: Loft) -> None:
    """An allotment and a signature; what concerned another board is not told."""
    serial, top, neck = begun(loft)
    loft.allot(serial, "top", top)
    taken = loft.shop.store.head().size - 1
    strike(loft, taken)
    loft.allot(serial, "top", f"{top}.B")
    loft.allot(serial, "neck", neck)
    loft.sign(serial, "join the top")
    signed = loft.shop.store.head().size - 1
    by = strike(loft, signed)
    loft.number(loft.receive())
    strike(loft, loft.shop.store.head().size - 1)
    loft.finish(serial)
    texts = said(loft, loft.issue(serial))

    assert texts[by] == (f"join the top (did), entry {signed}, was struck: a mistake")
    assert texts[taken + 1] == (
        f"{top}.B as its top, entry {taken}, was struck: a mistake"
    )
    assert len(texts) == 2


def strike(loft: Loft, index: int) -> int:
    """Strike an entry; return the one that struck it."""
    hands = loft.hands()
    return corrections.correct(loft.shop, index, reason="wrong", hands=hands).index


def test_what_is_said_after_a_certificate_changes_no_reprint(loft: Loft) -> None:
    """It says what was known at its issue, and counts no owner that came later."""
    serial, top, neck = begun(loft)
    loft.allot(serial, "top", top)
    loft.allot(serial, "neck", neck)
    moved = measuring.move(loft.shop, [neck], "crib", hands=loft.hands())[0].index
    weighed = loft.say(BoardWeighed(board=neck, mass_mg=1_050_000)).index
    wrong = loft.say(BoardWeighed(board=neck, mass_mg=1_051_000)).index
    by = strike(loft, wrong)
    strike(loft, moved)
    loft.finish(serial)
    number = loft.issue(serial)
    first = said(loft, number)
    paper = certificate_paper(loft.shop, number)
    before = papers.owner_certificate(loft.shop, paper, "V#1")
    strike(loft, weighed)
    loft.sell(serial)
    after = papers.owner_certificate(loft.shop, paper, "V#1")

    assert first == {by: f"a weighing of {neck}, entry {wrong}, was struck: a mistake"}
    assert after == before


def test_a_glued_part_says_that_its_grams_are_shared_out(loft: Loft) -> None:
    """Two rows for one part, and a remark why."""
    serial, top, neck = begun(loft)
    (rosewood,) = loft.number(loft.receive(species="Dalbergia latifolia"), NECK)
    draft = sawing.PieceDraft(meant_for="neck", mass_mg=2_080_000)
    hands = loft.hands("03")
    piece = sawing.join(loft.shop, codes=[neck, rosewood], draft=draft, hands=hands)
    joined = loft.shop.store.head().size - 1
    loft.allot(serial, "top", top)
    loft.allot(serial, "neck", piece)
    loft.finish(serial)
    remarks = said(loft, loft.issue(serial))

    assert remarks == {
        joined: f"neck: {piece} was glued from {neck} and {rosewood}; each wood has "
        f"the share of the grams that went into the joint"
    }


def test_what_was_sawn_out_of_a_set_is_not_called_glued(loft: Loft) -> None:
    """Both halves are its parents, and no joint was made."""
    serial, top, neck = begun(loft)
    pieces = [sawing.PieceDraft(meant_for="top", mass_mg=412_000)]
    hands = loft.hands("03")
    (sawn,) = sawing.split(loft.shop, codes=[top], pieces=pieces, hands=hands)
    loft.allot(serial, "top", sawn)
    loft.allot(serial, "neck", neck)
    loft.finish(serial)
    with loft.shop.store.reading() as session:
        label = papers.board_label(loft.shop, session, sawn)

    assert label.made == "piece"
    assert said(loft, loft.issue(serial)) == {}


def test_one_wood_glued_to_itself_shares_no_grams(loft: Loft) -> None:
    """Two boards of a lot are one wood; only the joint is told."""
    serial, top, neck = begun(loft)
    (other,) = loft.number(LotId.parse(neck.rpartition("-")[0]), NECK)
    draft = sawing.PieceDraft(meant_for="neck", mass_mg=2_080_000)
    hands = loft.hands("03")
    piece = sawing.join(loft.shop, codes=[neck, other], draft=draft, hands=hands)
    loft.allot(serial, "top", top)
    loft.allot(serial, "neck", piece)
    loft.finish(serial)
    (text,) = said(loft, loft.issue(serial)).values()

    assert text == f"neck: {piece} was glued from {neck} and {other}"


def test_old_stock_is_said_once_a_lot(loft: Loft) -> None:
    """Two parts of one lot share a remark, which says how the origin is known."""
    loft.supplier()
    lot = loft.receive(is_opening=True, evidence="diary", received_on="2024-02-03")
    loft.number(lot, TOP, NECK)
    loft.model()
    serial = loft.begin()
    loft.allot(serial, "top", f"{lot}-01")
    loft.allot(serial, "neck", f"{lot}-02")
    loft.finish(serial)
    paper = certificate_paper(loft.shop, loft.issue(serial))
    (remark,) = papers.owner_certificate(loft.shop, paper, "V#1").remarks

    assert remark == Remark(
        "2024-02-03",
        remark.entry,
        "top and neck: old stock, entered late; origin known by diary",
    )
