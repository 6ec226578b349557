"""What papers say of entries in dispute: a short mark beside whoever said them.

It is as of today, for a key is reported when somebody notices, and an entry that was
affirmed since is in dispute no more: so a paper that is drawn again may lose its mark.
"""

from collections import defaultdict
from collections.abc import Collection, Iterator

from sqlmodel import Session

from labels.certificate import Maker, Remark
from labels.page import thousands
from labels.terms import in_a_row
from labels.tongue import Tongue
from ledger.acts.crediting import works_at
from ledger.events import CertificateIssued
from ledger.views.people import subject_of_key
from ledger.views.said import entry_said

NAMED_IN_A_REMARK = 12


def mark(entries: Collection[int], say: Tongue) -> str:
    """Return the mark beside who said some entries in dispute; nothing for none.

    There is no comma in it, so that nobody takes it for another work of theirs.
    """
    if not entries:
        return ""
    return say("disputed: see {entry}").format(entry=_in_words(entries, say, 1))


def marked(
    session: Session,
    makers: Collection[Maker],
    event: CertificateIssued,
    as_of: int,
    disputed: Collection[int],
    say: Tongue,
) -> tuple[Maker, ...]:
    """Return makers, each of whose work any is in dispute with that before the work.

    as_of  the entry of the certificate that credits them
    """
    theirs: dict[str | None, set[int]] = defaultdict(set)
    for done in works_at(session, event.serial, as_of) if disputed else ():
        if done.entry in disputed:
            theirs[subject_of_key(session, done.key)].add(done.entry)
    return tuple(
        maker._replace(
            work="; ".join(filter(None, (mark(theirs[m.subject], say), maker.work)))
        )
        for maker, m in zip(makers, event.makers, strict=True)
    )


def remarks(
    session: Session, disputed: Collection[int], own: int, say: Tongue
) -> Iterator[Remark]:
    """Yield that a certificate's own entry is in dispute, and what else it rests on."""
    if own in disputed:
        text = say(
            "this certificate itself is disputed: the key that issued it may have been "
            "in other hands; ask the maker"
        )
        yield Remark(_day(session, own), own, text)
    others = sorted(entry for entry in disputed if entry != own)
    if others:
        yield Remark(_day(session, others[0]), others[0], words_of(others, say))


def words_of(entries: Collection[int], say: Tongue) -> str:
    """Say that some entries are in dispute, one at least, and what that means."""
    text = say.many(
        len(entries),
        "entry {entries} is disputed: a key that said it may have been in other "
        "hands, and nobody has stood by it since",
        "entries {entries} are disputed: keys that said them may have been in "
        "other hands, and nobody has stood by them since",
    )
    return text.format(entries=_in_words(entries, say, NAMED_IN_A_REMARK))


def _day(session: Session, entry: int) -> str:
    return entry_said(session, entry).happened_at[:10]


def _in_words(entries: Collection[int], say: Tongue, most: int) -> str:
    """Name entries in order, and count those that there is no room for."""
    named = [thousands(entry) for entry in sorted(entries)]
    left = len(named) - most
    if left > 1:
        named[most:] = [say("{number} more").format(number=left)]
    return in_a_row(named, say)
