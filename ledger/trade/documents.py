"""Which documents a covered specimen travels with, and who gives each."""

from dataclasses import dataclass
from datetime import timedelta

from ledger.trade.coverage import Case
from ledger.trade.listings import annotation_for, first_listing, is_from
from ledger.trade.movement import PLAYED, UNION, crossings, is_in_union, place_words
from ledger.trade.tables import (
    ANIMAL_FORMS,
    FINISHED_FOR_MUSIC,
    Listing,
    covers,
    papers,
    stands,
)

BRITAIN = "GB"
_FOR_PLAYING = FINISHED_FOR_MUSIC | (ANIMAL_FORMS - {"raw"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """A document needed, and the office it comes from."""

    name: str
    issuer: str


def documents_for(row: Listing, case: Case) -> tuple[Document, ...]:
    """Return the documents for a covered specimen on its movement.

    Source: Articles III, IV and V of the Convention; Resolution Conf. 16.8 for musical
    instrument certificates; Regulation (EC) 338/97 for what the Union asks beside.
    """
    borders = crossings((case.exporter, *case.movement.legs[1:]), case.day)
    if not borders:
        return ()
    if is_for_playing(case):
        return (_given("musical instrument certificate", borders[0][0]),)
    found = [_leaving(row, case, borders[0][0])]
    for here, there in borders:
        if here != borders[0][0]:
            found.append(_given("re-export certificate", here))
        found += _entering(row, case, here, there)
    return tuple(dict.fromkeys(found))


def is_for_playing(case: Case) -> bool:
    """Tell whether a movement is one that musical instrument certificates are for.

    Source: Resolution Conf. 16.8: repeated movements without commerce.
    """
    if case.movement.is_commercial is not False or case.movement.owner_changes:
        return False
    is_trip = case.movement.returns or case.movement.purpose in PLAYED
    return is_trip and case.form in _FOR_PLAYING


def is_pre_convention(case: Case) -> bool:
    """Tell whether a specimen was acquired before its first listing.

    Source: 50 CFR 23.45(b)(2): the first listing in any Appendix counts.
    """
    first = first_listing(case.name, case.origin, case.law)
    return first is not None and case.acquired is not None and case.acquired < first


def authority(code: str) -> str:
    """Return the office that answers for a country.

    Source: Article IX of the Convention: each Party names a Management Authority.
    """
    if code == UNION:
        return "Management Authority of the EU member State"
    return f"Management Authority of {place_words(code)}"


def office_words(offices: str) -> str:
    """Return offices as a sentence names them, each with its article.

    Source: common practice, no source.
    """
    return "; ".join(
        office if office.startswith(("the ", "USDA-APHIS")) else f"the {office}"
        for office in offices.split("; ")
    )


def _leaving(row: Listing, case: Case, here: str) -> Document:
    if is_pre_convention(case):
        return _given("pre-Convention certificate", here)
    if row.appendix == "III" and case.origin is None:
        return _given("export permit or certificate of origin", here)
    if row.appendix == "III" and case.origin not in row.listed_by:
        return _given("certificate of origin", here)
    if case.origin == here:
        return _given("export permit", here)
    if case.origin is not None or case.name.grows_in:
        return _given("re-export certificate", here)
    return _given("export permit or re-export certificate", here)


def _entering(row: Listing, case: Case, here: str, there: str) -> list[Document]:
    """Return what is asked on entering a country."""
    is_old = is_pre_convention(case)
    if is_in_union(there, case.day):
        return _entering_union(row, case)
    if permits_import(there, appendix=row.appendix, annex=row.eu_annex, is_old=is_old):
        return [_given("import permit", there)]
    return []


def permits_import(country: str, *, appendix: str, annex: str, is_old: bool) -> bool:
    """Tell whether a country outside the Union asks for its import permit first.

    is_old  acquired before the first listing

    Source: Article III of the Convention; Regulation (EC) 338/97 as Great Britain has
    kept it.
    """
    if country == BRITAIN and annex in ("A", "B"):
        return True
    return appendix == "I" and not is_old


def _entering_union(row: Listing, case: Case) -> list[Document]:
    if not stands(row.eu_from or row.valid_from, row.eu_until, case.day):
        return _kept_by_union(row, case)
    if row.eu_annex == "C":
        return [_by_kind("import notification")]
    found = [_by_kind("EU import permit")]
    if row.eu_annex == "A" and case.movement.is_commercial:
        found.append(_by_kind("Article 10 certificate"))
    return found


def _kept_by_union(row: Listing, case: Case) -> list[Document]:
    """Return what the Union still asked by the listing that stood until the change."""
    ended = row.valid_from and row.valid_from - timedelta(days=1)
    if ended is None:
        return []
    taxa = dict.fromkeys((case.name.name, case.name.group))
    for older in (row for taxon in taxa for row in case.law.rows_of.get(taxon, ())):
        text = annotation_for(older, ended, case.law)
        if (
            older.is_listed
            and older.valid_until == ended
            and is_from(older.population, case.origin, case.name, case.law) is not False
            and text is not None
            and covers(text, case.form) != "outside"
        ):
            kind = (
                "import notification" if older.eu_annex == "C" else "EU import permit"
            )
            return [_by_kind(kind)]
    return []


def _given(name: str, code: str) -> Document:
    return Document(name=name, issuer=authority(code))


def _by_kind(name: str) -> Document:
    return Document(name=name, issuer=papers()[name].issuer)


def named(name: str) -> Document:
    """Return a document by its kind, with its usual issuer.

    Source: the table of documents.
    """
    return _by_kind(name)
