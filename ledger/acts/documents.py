"""Papers on file: their bytes under a digest, their facts in the log."""

from contextlib import ExitStack
from pathlib import Path

from ledger.acts.names import checked_day, checked_words
from ledger.acts.numbers import next_document
from ledger.acts.paperchecks import require_new_paper
from ledger.acts.shop import Hands, Shop, Turn
from ledger.errors import RefusedError
from ledger.events import DocumentFiled
from ledger.log import attachments
from ledger.views.people import erased_subjects
from ledger.views.subjects import known_subjects


def file_document(
    shop: Shop,
    path: Path,
    *,
    paper: str,
    number: str | None,
    issued_on: str | None,
    expires_on: str | None,
    hands: Hands,
    is_personal: bool = False,
    about: str | None = None,
) -> str:
    """File a paper: its bytes go under their digest, its facts into the log.

    A personal one is `about` a subject, behind a salt that the vault keeps, and goes
    when the subject is erased. Returns the document's code.

    Raises RefusedError for an empty file, a day to come, or a paper that is on file.
    """
    is_personal = is_personal or about is not None
    if is_personal and about is None:
        raise RefusedError("a personal paper says whom it is about: give --about")
    _require_sound_paper(paper, number, issued_on, expires_on)
    _require_issued(shop, issued_on)
    if attachments.digest_of(path) == attachments.digest_of(b""):
        raise RefusedError(f"{path.name} is empty: scan the paper again, and file that")
    seen = shop.store.head().size
    with shop.store.reading() as session:
        # Before anything is kept of it; in the turn only what another station filed.
        require_new_paper(shop, session, path, paper=paper, number=number)
    salt = shop.entropy(attachments.SALT_SIZE) if is_personal else b""
    digest = attachments.digest_of(path, salt=salt)
    with ExitStack() as undo:
        if is_personal:
            # The salt first: a file that no salt names could never be found again.
            undo.callback(shop.vault.forget_salt, digest)
            undo.callback(attachments.remove, shop.attachments, digest)
            shop.vault.put_salt(digest, salt, about)
        attachments.put(shop.attachments, path, salt=salt, announced=digest)
        with shop.turn() as turn:
            _require_kept(turn, digest, about)
            require_new_paper(
                shop, turn.session, path, paper=paper, number=number, since=seen
            )
            code = next_document(turn)
            event = DocumentFiled(
                document=code,
                paper=paper,
                number_as_written=number,
                issued_on=issued_on,
                expires_on=expires_on,
                sha256=None if is_personal else digest,
                salted_sha256=digest if is_personal else None,
            )
            turn.say(event, hands)
        undo.pop_all()
    return code


def file_in(turn: Turn, *, paper: str, digest: str, hands: Hands) -> str:
    """File a paper within a turn that says more than that.

    Whoever has the turn sees to it that the paper lies on the shelf.
    """
    code = next_document(turn)
    turn.say(DocumentFiled(document=code, paper=paper, sha256=digest), hands)
    return code


def _require_sound_paper(
    paper: str, number: str | None, issued_on: str | None, expires_on: str | None
) -> None:
    for day in (issued_on, expires_on):
        checked_day(day)
    if issued_on and expires_on and expires_on < issued_on:
        said = f"a paper of {issued_on} cannot end on {expires_on}: read it again"
        raise RefusedError(said)
    checked_words("kind of paper", paper)
    checked_words("number", number)


def _require_issued(shop: Shop, issued_on: str | None) -> None:
    if issued_on and issued_on > shop.today():
        raise RefusedError(
            f"a paper of {issued_on} is still to come, and today is {shop.today()}: "
            f"read its day again"
        )


def _require_kept(turn: Turn, digest: str, about: str | None) -> None:
    """See that nobody swept or erased meanwhile what an entry is to speak of."""
    attachments.get(turn.shop.attachments, digest)
    somebody = known_subjects(turn.session) - erased_subjects(turn.session)
    if about and about not in somebody:
        raise RefusedError(f"subject {about} is nobody of whom a paper can be kept")
    if about and turn.shop.vault.get_salt(digest) is None:
        raise RefusedError("the paper's salt was swept meanwhile: file it again")
