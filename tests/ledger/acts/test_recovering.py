"""Lost entries found later: quoted whole, judged as far as may be, and not folded."""

from dataclasses import replace
from pathlib import Path

import pytest

from ledger.acts.certificates import find_certificate
from ledger.acts.claims import claims, since
from ledger.acts.continuing import go_on
from ledger.acts.disputes import report
from ledger.acts.lostnumbers import reserve
from ledger.acts.recovering import followed, recover
from ledger.audit import audit
from ledger.errors import NotFoundError, RefusedError, TamperError
from ledger.events import EntryRecovered
from ledger.log.entry import parse_record, seal
from ledger.log.proof import parse_certificate_file
from ledger.views.trace import Line
from tests.ledger.losing import Lost, lose
from tests.skerrymoor import Loft


@pytest.fixture
def lost(tmp_path: Path, certified_folder: Path) -> Lost:
    """Give a shop that went on without a day, and what is left of that day."""
    made = lose(tmp_path, certified_folder)
    go_on(made.loft.shop, made.given, made.loft.hands("01", "roots"))
    return made


def kept(lost: Lost) -> Path:
    """Return the certificate of the lost day, as a file."""
    path = lost.newer.parent / "found.json"
    path.write_bytes(lost.certificate)
    return path


def test_a_certificate_brings_its_lost_entry_back_as_a_quotation(lost: Lost) -> None:
    """Its number is kept free and its code is found; no view shows what it says."""
    loft, shop, path = lost.loft, lost.loft.shop, kept(lost)
    hands = loft.hands("01", "12")
    with pytest.raises(RefusedError, match="approved by 0 of 1"):
        recover(shop, path, loft.hands("01"))
    (entry,) = recover(shop, path, hands)
    with shop.store.reading() as session:
        named = claims(shop, session, lost.serial)

    assert (
        entry.event["record"].encode()
        == parse_certificate_file(lost.certificate).record.data
    )
    assert [claim.kind for claim in named] == ["entry.recovered"]
    assert named[0].about.endswith("recovered, not folded")
    with pytest.raises(RefusedError, match="entries that are lost"):
        since(shop, str(path))
    with pytest.raises(RefusedError, match="quoted here already"):
        recover(shop, path, hands)
    assert {f.cause for f in audit(shop).findings} == {"orphan"}
    assert loft.issue(loft.another()) == "C-2026-00003"


def test_all_that_a_copy_still_holds_is_quoted_at_once(lost: Lost) -> None:
    """Every lost entry, and its numbers; those that are held are passed over."""
    shop, size = lost.loft.shop, lost.loft.shop.standing().closed[0].size
    said = recover(shop, lost.newer, lost.loft.hands("01", "12"))

    assert [e.event["index"] for e in said] == list(range(size, lost.given.size))
    assert lost.loft.begin() > lost.serial
    assert {f.cause for f in audit(shop).findings} == {"orphan"}


def test_a_trace_tells_what_was_recovered_of_all_that_is_on_the_way(lost: Lost) -> None:
    """What only lost entries name is told by them alone; else they stand last."""
    loft, shop, hands = lost.loft, lost.loft.shop, lost.loft.hands("01", "12")

    def followed_to(code: str) -> list[Line]:
        with shop.store.reading() as session:
            return followed(session, shop.standing(), code)

    with pytest.raises(NotFoundError, match="never recorded"):
        followed_to(lost.serial)
    before = followed_to("26-0001-8")
    said = recover(shop, lost.newer, hands)
    assert followed_to("26-0001-8") == before
    true = parse_certificate_file(lost.certificate).record.entry
    weighed = {"kind": "board.weighed/1", "board": "L26-001-01.A", "mass_mg": 204_000}
    more = seal(replace(true, event=weighed, index=true.index + 9), loft.keys["01"])
    path = lost.newer.parent / "records.txt"
    path.write_bytes(more.data)
    (found,) = recover(shop, path, hands)
    alone, after = followed_to(lost.serial), followed_to("26-0001-8")
    begun = next(e for e in said if f'"{lost.serial}"' in e.event["record"])

    assert {(line.depth, line.code) for line in alone} == {(0, "recovered")}
    assert alone[0].entry == begun.index
    assert alone[0].said.startswith("build.begun of 2026-01-")
    assert f"lost with entry {begun.event['index']} of {begun.event['origin']}:" in (
        alone[0].said
    )
    assert after[:-1] == before
    assert (after[-1].depth, after[-1].entry) == (1, found.index)
    assert after[-1].said.startswith("board.weighed of 2026-01-")
    with pytest.raises(NotFoundError, match="never recorded"):
        followed_to("26-0099-4")


def follow(loft: Loft, code: str) -> list[Line]:
    """Return what a trace tells of a code."""
    with loft.shop.store.reading() as session:
        return followed(session, loft.shop.standing(), code)


def test_a_trace_goes_on_over_the_numbers_that_lost_entries_gave(lost: Lost) -> None:
    """What names only a certificate, or only wood that it names, is its serial's."""
    loft, hands = lost.loft, lost.loft.hands("01", "12")
    true = parse_certificate_file(lost.certificate).record.entry
    (issued,) = recover(loft.shop, kept(lost), hands)
    printed = {
        "kind": "certificate.printed/1",
        "number": true.event["number"],
        "paper": "certificate",
        "sha256": "5a" * 32,
    }
    stranger = printed | {"number": "C-2026-00099"}
    lot = {"kind": "lot.struck/9", "lot": true.event["materials"][0]["lot"]}
    said = (printed, stranger, lot)
    records = [
        seal(replace(true, event=event, index=true.index + n), loft.keys["01"]).data
        for n, event in enumerate(said, 5)
    ]
    path = lost.newer.parent / "records.txt"
    found = []
    for data in records:
        path.write_bytes(data)
        found += [entry.index for entry in recover(loft.shop, path, hands)]
    told = [line.entry for line in follow(loft, lost.serial)]

    assert told == [issued.index, found[0], found[2]]


def test_a_lost_entry_of_a_key_in_other_hands_says_so(lost: Lost) -> None:
    """From whoever may have made it before it was quoted; of others nothing is said."""
    loft, shop, hands = lost.loft, lost.loft.shop, lost.loft.hands("01", "12")
    said = recover(shop, lost.newer, hands)
    first = shop.standing().closed[0].size - 1
    report(shop, loft.person("03"), str(first), loft.hands("12", "01"))
    report(shop, loft.person("10"), str(said[-1].index + 1), loft.hands("12", "01"))
    told = follow(loft, lost.serial)
    hers = [line for line in told if line.said.startswith("build.step-signed")]
    others = [line for line in told if line.said.startswith("build.begun")]

    assert {line.disputed_since for line in hers} == {first}
    assert hers[0].said.endswith(
        f"folded into nothing; its key is disputed since entry {first}"
    )
    assert [(line.disputed_since, "disputed" in line.said) for line in others] == [
        (None, False)
    ]
    made = {"kind": "build.step-signed/2", "serial": lost.serial, "step": "brace"}
    entry = parse_record(said[0].event["record"].encode()).entry
    index = said[-1].event["index"] + 9
    late = replace(entry, event=made | {"meaning": "did"}, index=index)
    path = lost.newer.parent / "records.txt"
    path.write_bytes(seal(replace(late, key=loft.keys["10"].id), loft.keys["10"]).data)
    (quoted,) = recover(shop, path, hands)
    assert [line.disputed_since for line in follow(loft, lost.serial)][-1] == (
        said[-1].index + 1
    )
    assert follow(loft, lost.serial)[-1].entry == quoted.index


def test_a_number_whose_lost_entry_was_found_leads_to_the_quotation(lost: Lost) -> None:
    """Before that nothing is known of it."""
    loft, shop = lost.loft, lost.loft.shop
    number = parse_certificate_file(lost.certificate).record.entry.event["number"]
    reserve(shop, [number], loft.hands())
    with pytest.raises(NotFoundError, match="nothing more is known of it here"):
        find_certificate(shop, number)
    (entry,) = recover(shop, kept(lost), loft.hands("01", "12"))

    said = f"is quoted in entry {entry.index} and folded into nothing, flitchbook trace"
    with pytest.raises(NotFoundError, match=f"{said} {number} tells it"):
        find_certificate(shop, number)
    assert follow(loft, number)[0].entry == entry.index


def test_a_quotation_that_nobody_can_read_is_passed_over_in_a_trace(lost: Lost) -> None:
    """An audit tells of it."""
    shop = lost.loft.shop
    event = EntryRecovered(origin="elsewhere", index=1, record=f'"{lost.serial}"')
    with shop.turn() as turn:
        turn.say(event, lost.loft.hands("01", "12"))
    with shop.store.reading() as session:
        first = followed(session, shop.standing(), "26-0001-8")

    assert "recovered" not in {line.code for line in first}


def test_what_no_key_of_the_closed_volume_signed_is_refused(lost: Lost) -> None:
    """A stranger's, a changed one, one that is held, a whole log's; and an audit."""
    loft, shop = lost.loft, lost.loft.shop
    true = parse_certificate_file(lost.certificate).record
    stranger = seal(replace(true.entry, key=loft.roots[0].id), loft.keys["01"])
    unknown = seal(replace(true.entry, key="5a" * 8), loft.keys["01"])
    held = shop.store.record(3)
    path = lost.newer.parent / "records.txt"
    for data, said in (
        (stranger.data, "the signature is not by key"),
        (unknown.data, "which nobody knows who had"),
        (held, "no lost entry"),
        (b'{"at":1}\n\n', "holds no record"),
    ):
        path.write_bytes(data)
        with pytest.raises((RefusedError, TamperError), match=said):
            recover(shop, path, loft.hands("01", "12"))
    for data, index, origin in (
        (stranger.data, true.entry.index, true.entry.origin),
        (held, 3, true.entry.origin),
        (true.data, true.entry.index + 1, true.entry.origin),
        (true.data, true.entry.index, "elsewhere"),
    ):
        slipped(loft, data, index, origin)
    found = [f for f in audit(shop, level="roles").findings if f.cause == "authority"]
    assert len(found) == 4


def slipped(loft: Loft, data: bytes, index: int, origin: str) -> None:
    """Quote something past the act that would refuse it."""
    parse_record(data)
    event = EntryRecovered(origin=origin, index=index, record=data.decode())
    hands = loft.hands("01", "12")
    with loft.shop.turn() as turn:
        turn.say(event, hands)


def test_a_whole_log_has_nothing_to_recover(loft: Loft, tmp_path: Path) -> None:
    """What is missing is put back."""
    path = tmp_path / "records.txt"
    path.write_bytes(loft.shop.store.record(2))
    with pytest.raises(RefusedError, match="put-back"):
        recover(loft.shop, path, loft.hands("01", "12"))
