"""Every cause that an audit can name is named when it is there, and not before."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from ledger.acts import disputes, tapping
from ledger.acts.heads import sign_head
from ledger.acts.layout import CHECKPOINTS
from ledger.acts.signing import LOG_KEY
from ledger.audit import CAUSES, Report, audit
from ledger.audit.findings import OPEN_CAUSES, Finding
from ledger.events import (
    ClockDoubted,
    EntryAffirmed,
    HoldPlaced,
    PersonErased,
    StepSigned,
    codec,
)
from ledger.log.entry import parse_record
from ledger.views.fold import fold
from tests import ringing
from tests.ledger.audit.tampering import (
    appended,
    behind_the_guards,
    changed_vault,
    index_of,
    records_of,
    refit,
    resealed,
)
from tests.ledger.views.forests import ISSUED
from tests.skerrymoor import Loft


def take_one_away(loft: Loft) -> None:
    """Delete an entry, and let the rest stand."""
    with behind_the_guards(loft) as connection:
        connection.execute("DELETE FROM entry WHERE idx = 5")


def write_over(loft: Loft) -> None:
    """Write a note where a record was."""
    with behind_the_guards(loft) as connection:
        connection.execute("UPDATE entry SET record = x'4d2e4b2e' WHERE idx = 5")


def count_wrongly(loft: Loft) -> None:
    """Sign the newest entry anew with another index."""
    records = records_of(loft)
    records[-1] = resealed(records[-1], loft.keys["01"], index=3)
    refit(loft, records)


def say_it_otherwise(loft: Loft) -> None:
    """Let a builder sign another body for an old step."""
    records, index = records_of(loft), index_of(loft, "build.step-signed/2")
    event = parse_record(records[index]).entry.event | {"step": "brace"}
    records[index] = resealed(records[index], loft.keys["03"], event=event)
    refit(loft, records)


def mean_another(loft: Loft) -> None:
    """Strike an entry, and name another as the one that was meant."""
    index = index_of(loft, "build.step-signed/2")
    other = replace(loft.strike(index), index=index - 1)
    appended(loft, codec.plain(other))


def report_a_key(loft: Loft) -> None:
    """Report a builder's key that signed steps, and affirm none of them."""
    index = index_of(loft, "build.step-signed/2")
    disputes.report(loft.shop, loft.person("03"), str(index), loft.hands("12", "01"))


def affirm_another(loft: Loft) -> None:
    """Affirm an entry in dispute, and name another as the one that was meant."""
    report_a_key(loft)
    index, key = index_of(loft, "build.step-signed/2"), loft.keys["03"].id
    event = EntryAffirmed(index=index, leaf="5a" * 32, key=key)
    with loft.shop.turn() as turn:
        turn.say(event, loft.hands("01", "12"))


def turn_time_back(loft: Loft) -> None:
    """Sign the newest entry anew with an earlier time."""
    records = records_of(loft)
    records[-1] = resealed(records[-1], loft.keys["01"], at="2025-12-24T08:00:00Z")
    refit(loft, records)


def change(table: str, what: str, where: str) -> Callable[[Loft], None]:
    """Change a column of a table of the log."""

    def changing(loft: Loft) -> None:
        with behind_the_guards(loft) as connection:
            connection.execute(f"UPDATE {table} SET {what} WHERE {where}")  # noqa: S608

    return changing


def forge(loft: Loft) -> None:
    """Put another's signature under an entry."""
    records = records_of(loft)
    entry, _, _ = records[7].split(b"\n")
    records[7] = entry + b"\n" + records[8].split(b"\n")[1] + b"\n"
    refit(loft, records)


def say_too_little(loft: Loft) -> None:
    """Say of a lot nothing but its code."""
    appended(loft, {"kind": "lot.received/1", "lot": "L26-777"})


def ignore_the_clock(loft: Loft) -> None:
    """Doubt the clock, and then say something at a false time."""
    doubted = ClockDoubted(from_="2026-01-05T00:00:00Z", to="2026-01-06T00:00:00Z")
    with loft.shop.turn() as turn:
        turn.say(doubted, loft.hands("01", "12"))
    said: dict[str, Any] = {
        "codes": [],
        "kind": "label.printed/1",
        "paper": "51 x 22",
        "sha256": "5a" * 32,
    }
    appended(loft, said)


def receive_twice(loft: Loft) -> None:
    """Say the same lot again."""
    record = loft.shop.store.record(index_of(loft, "lot.received/1"))
    appended(loft, parse_record(record).entry.event)


def sign_another_past(loft: Loft) -> None:
    """Sign the head, and change what was signed for."""
    sign_head(loft.shop)
    say_it_otherwise(loft)


def cut_off_the_end(loft: Loft) -> None:
    """Sign the head, and take the last two entries away."""
    sign_head(loft.shop)
    refit(loft, records_of(loft)[:-2])


def lose_the_heads(loft: Loft) -> None:
    """Sign the head, and take the file of heads away."""
    sign_head(loft.shop)
    (loft.shop.folder / CHECKPOINTS).unlink()


def drop_a_guard(loft: Loft) -> None:
    """Take one guard away for good."""
    with loft.shop.store.engine.begin() as connection:
        connection.exec_driver_sql("DROP TRIGGER entry_guards_update")


def scribble_on_a_paper(loft: Loft) -> None:
    """Change a byte of a filed paper."""
    path = next(loft.shop.attachments.iterdir())
    path.write_bytes(path.read_bytes()[:-1] + b"!")


def rename_a_builder(loft: Loft) -> None:
    """Give a builder another name in the vault."""
    statement = "UPDATE opening SET value = 'Benji' WHERE field = 'person.name'"
    changed_vault(loft, statement)


def erase_in_words_only(loft: Loft) -> None:
    """Say that a person was erased, and erase nothing."""
    with loft.shop.turn() as turn:
        subject = loft.person("03").subject
        turn.say(PersonErased(subject=subject), loft.hands("12", "01"))


def keep_a_stranger(loft: Loft) -> None:
    """Keep the name of somebody of whom the log says nothing."""
    loft.shop.vault.put("ab" * 16, "person.name", "Kenji Arakawa", b"k" * 32)


def sign_under_a_hold(loft: Loft) -> None:
    """Sign a step of an instrument whose wood is in doubt, past the act."""
    loft.say(HoldPlaced(hold="H26-001", on="lot", code="L26-001"))
    loft.say(StepSigned(serial="26-0001-8", step="brace", meaning="assisted"), "03")


def keep_older_views(loft: Loft) -> None:
    """Keep views that another version folded."""
    with behind_the_guards(loft) as connection:
        connection.execute("UPDATE viewedition SET digest = 'older'")


def lose_a_name(loft: Loft) -> None:
    """Erase a name of which the log says that it is there."""
    loft.shop.vault.erase(loft.person("03").subject)


def say_something_new(loft: Loft) -> None:
    """Say what a later version may understand."""
    appended(loft, {"kind": "board.sung/1"})


def read_another_tone(loft: Loft) -> None:
    """File a recording, and say again that another tone was read of it."""
    entry = tapping.tap(
        loft.shop,
        "L26-001-01.A",
        ringing.plate(loft.shop.folder.parent / "half.wav", taps=2),
        held_as="plate",
        expected={"along": 71_000},
        hands=loft.hands("03"),
    ).entry
    (reading,) = entry.event["readings"]
    other = reading | {"frequency_millihertz": 72_000}
    appended(loft, entry.event | {"readings": [other]}, fold=fold)


def open_the_log_key(loft: Loft) -> None:
    """Let everybody read the log's key."""
    (loft.shop.keys / LOG_KEY).chmod(0o644)


def certify_too_early(loft: Loft) -> None:
    """Issue a certificate of what is only begun."""
    early = replace(ISSUED, number="C-2026-00002", serial=loft.begin())
    appended(loft, codec.plain(early), fold=fold)


# What is done to a shop, and the cause that an audit names for it.
TAMPERINGS: dict[str, Callable[[Loft], None]] = {
    "gap": take_one_away,
    "malformed": write_over,
    "index": count_wrongly,
    "chain": say_it_otherwise,
    "time": turn_time_back,
    "leaf": change("entry", "leaf = zeroblob(32)", "idx = 5"),
    "tile": change("tile", "hashes = zeroblob(length(hashes))", "level = 0"),
    "head": change("head", "root = zeroblob(32)", "TRUE"),
    "authority": forge,
    "event": say_too_little,
    "struck": mean_another,
    "affirmed": affirm_another,
    "disputed": report_a_key,
    "clock": ignore_the_clock,
    "held": sign_under_a_hold,
    "road": certify_too_early,
    "number": receive_twice,
    "checkpoint": sign_another_past,
    "kept": lose_the_heads,
    "missing": cut_off_the_end,
    "guard": drop_a_guard,
    "view": change("board", "mass_mg = 1", "TRUE"),
    "edition": keep_older_views,
    "attachment": scribble_on_a_paper,
    "commitment": rename_a_builder,
    "erasure": erase_in_words_only,
    "orphan": keep_a_stranger,
    "absent": lose_a_name,
    "reading": read_another_tone,
    "unknown": say_something_new,
    "custody": open_the_log_key,
}


def causes(report: Report) -> set[str]:
    """Return the causes that an audit named."""
    return {finding.cause for finding in report.findings}


def test_a_shop_that_nobody_touched_has_no_finding(certified: Loft) -> None:
    """Nothing was changed, nothing is found, and the report is true."""
    report = audit(certified.shop)

    assert report
    assert report.findings == ()
    assert report.size == certified.shop.store.head().size
    assert report.root == certified.shop.store.head().root


@pytest.mark.parametrize("cause", TAMPERINGS)
def test_a_change_is_found_under_its_cause(certified: Loft, cause: str) -> None:
    """Whatever is done to a shop, the audit names it, and says no where it must."""
    TAMPERINGS[cause](certified)

    report = audit(certified.shop)

    assert cause in causes(report)
    assert bool(report) == (cause in OPEN_CAUSES)


def test_every_cause_has_its_tampering() -> None:
    """No cause stands in the list that nothing brings about.

    The remaining ones are a contradiction by an outside checkpoint, shown beside the
    tree, and a head of lost entries, shown where a log goes on.
    """
    assert set(TAMPERINGS) | {"outside", "lost"} == set(CAUSES)


def test_a_finding_says_where_what_and_how() -> None:
    """A finding reads as a line, with the entry or the whole in front."""
    assert str(Finding(7, "leaf", "so")) == "entry 7: leaf: so"
    assert str(Finding(None, "head", "so")) == "the whole: head: so"


def test_an_edition_that_makes_no_sense_hides_no_other_change(certified: Loft) -> None:
    """What the log, the shelf and the vault hold is judged without the views."""
    rename_a_builder(certified)
    scribble_on_a_paper(certified)
    with behind_the_guards(certified) as connection:
        connection.execute("INSERT INTO viewedition VALUES (x'00')")

    report = audit(certified.shop)

    assert causes(report) == {"edition", "attachment", "commitment"}
    assert not report


def test_a_changed_view_does_not_hide_behind_another_edition(certified: Loft) -> None:
    """Whoever makes a species false and names another edition is told of both."""
    with behind_the_guards(certified) as connection:
        connection.execute("UPDATE viewedition SET digest = '00'")
        connection.execute("UPDATE lot SET species = 'Dalbergia nigra'")

    report = audit(certified.shop)

    assert causes(report) == {"edition", "view"}
    assert not report
