"""The files of the photographs that a certificate names, given to whoever asks."""

from dataclasses import dataclass
from pathlib import Path

from sqlmodel import Session

from ledger.acts import folders
from ledger.acts.photographs import Pictured, pictures_at, showable
from ledger.acts.pictures import beside_words, kind_of
from ledger.acts.shop import Shop
from ledger.errors import LedgerError, RefusedError
from ledger.log import attachments
from ledger.views.certificates import Certificate, require_standing
from ledger.views.said import entry_said

ENDINGS = {"JPEG": ".jpg", "PNG": ".png"}
ERASED = "signed by somebody whose name was erased, and it may show them"
NOT_FILED = "no entry of this record files it"


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """A photograph that a certificate names: its file, or why it is not given.

    `beside` says what the file holds beside its picture, where it is not bare.
    """

    digest: str
    picture: Pictured | None
    file: Path | None = None
    why_not: str = ""
    beside: str = ""


def give_photographs(
    shop: Shop, number: str, folder: Path, *, as_filed: bool = False
) -> list[Given]:
    """Write the photographs of a certificate into a new folder, in its order.

    They are the files as they were filed, to the last bit, so that each has the digest
    that the certificate names; one that holds what the camera wrote beside the picture
    is given only if it is asked for `as_filed`. Raises RefusedError for a folder in
    use, for a certificate that was withdrawn, and where there is nothing to give.
    """
    folders.require_new(folder)
    with shop.store.reading() as session:
        issued = session.get_one(Certificate, number)
        require_standing(issued)
        named = _named(session, issued)
        kept = showable(session, [picture for picture in named.values() if picture])
    if not named:
        raise RefusedError(
            f"{number} names no photograph: none was on record when it was issued"
        )
    given = []
    with folders.new_folder(folder):
        for place, (digest, picture) in enumerate(named.items(), start=1):
            told = Given(digest=digest, picture=picture, why_not=NOT_FILED)
            if picture in kept:
                path = folder / f"{issued.serial}-{place}"
                told = _written(shop, path, picture, as_filed=as_filed)
            elif picture:
                told = Given(digest=digest, picture=picture, why_not=ERASED)
            given.append(told)
        if not any(each.file for each in given):
            why = "; ".join(dict.fromkeys(each.why_not for each in given))
            raise RefusedError(f"no photograph of {number} can be given: {why}")
    return given


def _named(session: Session, issued: Certificate) -> dict[str, Pictured | None]:
    """Return what a certificate names, by digest, in its order."""
    filed = pictures_at(session, issued.serial, issued.idx)
    pictures = {each.digest: each for each in filed}
    digests = entry_said(session, issued.idx).event["photographs"]
    return {digest: pictures.get(digest) for digest in digests}


def _written(shop: Shop, path: Path, picture: Pictured, *, as_filed: bool) -> Given:
    """Write one photograph, its ending by what it is."""
    try:
        data = attachments.read(shop.attachments, picture.digest)
    except LedgerError as fault:
        return Given(digest=picture.digest, picture=picture, why_not=str(fault))
    beside = beside_words(data)
    if beside and not as_filed:
        why = f"{beside}: --as-filed gives it all the same"
        return Given(digest=picture.digest, picture=picture, why_not=why, beside=beside)
    file = path.with_name(path.name + ENDINGS.get(kind_of(data) or "", ""))
    folders.write(file, data)
    return Given(digest=picture.digest, picture=picture, file=file, beside=beside)
