"""What a card cannot prove of lost entries: it names its own entry, and holds none."""

import re
from pathlib import Path

from ledger.check import CARD_TEXT
from ledger.errors import RefusedError
from ledger.log.card import read_card

# More than a card's text can be, with room around it.
LONGEST_TEXT = 4_096
ONE_SLASH = re.compile(r"\A(https:)/(?!/)", re.IGNORECASE)


def require_no_card(source: Path) -> None:
    """Refuse a card where a record is asked for, and say what to give and to keep free.

    source  a file that may hold the text of a card, or that text itself
    """
    # As a path the address of a card has lost one of its slashes.
    typed = re.sub(
        r"\A(https):/(?!/)", r"\1://", source.as_posix(), flags=re.IGNORECASE
    )
    data = typed.encode("utf-8", errors="replace")
    # What was typed is looked at first: it may be too long for any file's name.
    if not CARD_TEXT.fullmatch(data) and source.is_file():
        with source.open("rb") as file:
            data = file.read(LONGEST_TEXT)
    if not CARD_TEXT.fullmatch(data):
        return
    claims = read_card(data.decode("ascii")).claims
    raise RefusedError(
        f"a card names entry {claims.index} and does not hold it: name a newer copy or "
        f"an export, or give its certificate to flitchbook record recover; its numbers "
        f"are kept free with flitchbook record reserve {claims.serial} "
        f"{claims.certificate}"
    )
