"""The words that stand beside the name of a paper: they change nothing, or all of it.

    strange_in("of the export, India, 14 March 2026")   # none: these change nothing
    strange_in("by nambiar timber")                     # "nambiar": nobody told it here

A permit that is refused, lost or to follow is no permit. As nobody can list every word
that takes a paper away, those that take nothing away are listed: beside any other the
name of a paper leaves open what it is.

Source: common practice without a source, from memory in each of the five languages.
"""

import re
from functools import lru_cache
from typing import Final
from unicodedata import category, normalize

from ledger.trade.tables import names, places, trade_names

# What says that a paper is not there, not yet, or no more; a star is any ending.
TAKING_AWAY: Final = (
    # English
    "no; not; non; none; never; without; refus*; reject*; denied; denial; deny; "
    "declin*; revok*; revoc*; void*; cancel*; annul*; withdraw*; invalid*; "
    "suspend*; lost; stolen; missing; mislaid; expired; lapsed; destroyed; forged; "
    "fake; false; superseded; replaced; applied; requested; pending; awaited; "
    "awaiting; outstanding; expected; promised; follow; following; yet; blank; "
    "sample; example; template; leaflet; brochure; flyer; guide; guidance; "
    "reminder; "
    # German
    "kein*; nicht; ohne; ablehn*; abgelehnt*; verweiger*; versagt*; versagung; "
    "widerruf*; ungultig*; storn*; zuruckgezogen; entzogen; verloren*; gestohlen*; "
    "abgelaufen*; fehlt; fehlend*; beantragt*; angefordert*; ausstehend*; folgt; "
    "nachgereicht; muster*; leer*; beispiel*; merkblatt; "
    # French
    "sans; pas; aucun*; rejet*; perdu*; vole; volee; perime*; manqu*; attente; suivre; "
    "vierge*; modele; exemple; depliant; "
    # Spanish
    "sin; ningun*; rechaz*; deneg*; anul*; perdid*; robad*; caduc*; vencid*; falta*; "
    "solicitad*; pendiente*; blanco; muestra; ejemplo; folleto; "
    # Italian
    "senza; nessun*; rifiut*; respint*; negat*; smarrit*; rubat*; scadut*; manca*; "
    "richiest*; attesa; seguire; bianco; campione; esempio; opuscolo"
)
# What takes nothing away: small words, numbers and copies, days, what it is of.
_HARMLESS: Final = (
    "a an and at by for from in of on or the this to with und oder der die das dem den "
    "des fur mit vom von zu zur im et ou le la les du de pour avec dans en au aux un "
    "une e o y el los las del para con por di da della delle dei per il lo i gli "
    "permit certificate paper document permis certificat permiso certificado "
    "permesso licenza certificato bescheinigung genehmigung export reexport import "
    "ausfuhr einfuhr wiederausfuhr exp imp cites convention konvention convencion "
    "convenzione washington appendix annex anhang annexe apendice appendice ii iii "
    "iv vi box nr number num numero numer numbered nummer ref reference serial copy "
    "copie copia kopie abschrift scan scanned photo photograph pdf jpg jpeg png tif "
    "tiff txt doc docx original duplicate signed stamped certified page pages seite "
    "front back both side sides part final issued granted valid until expire dated "
    "date day year eu eg ec union usa uk species wood holz bois madera legno timber "
    "lumber tonewood log logs board boards sawn veneer billet set sets lot batch "
    "shipment consignment goods instrument instruments guitar guitars shell bone "
    "commercial business sales sale tax vat tva mwst iva paid bezahlt payee pagada "
    "pagata cmr january february march april may june july august september october "
    "november december januar februar marz mai juni juli oktober dezember janvier "
    "fevrier mars avril juin juillet aout septembre octobre novembre decembre enero "
    "febrero marzo abril mayo junio julio agosto septiembre octubre noviembre "
    "diciembre gennaio febbraio aprile maggio giugno luglio settembre ottobre "
    "dicembre"
)
# "No. 7" is a number and "without VAT" is still an invoice.
_NUMBERED: Final = re.compile(r"\bno (?=(?:[^\W\d_]{1,2} ){0,2}\w*\d)")
_BUT_FOR: Final = re.compile(
    r"\b(?:without|ohne|sans|sin|senza) (?:vat|tax|mwst|ust|tva|iva)\b"
    r"|\b(?:non|not for) commercial\b"
)


def plain(text: str) -> str:
    """Return words in small letters, without accents, hyphens and the s of a plural.

    Only "sans" keeps its s: San Marino is a country. What stands for a number
    or a tax and only looks like a "no" is made harmless.

    Source: the module.
    """
    letters = "".join(
        mark for mark in normalize("NFKD", text.casefold()) if category(mark) != "Mn"
    )
    words = [
        word if len(word) < 4 or word == "sans" else word.removesuffix("s")
        for word in re.findall(r"[^\W_]+", letters)
    ]
    said = f" {' '.join(words)} ".replace(" re export", " reexport")
    return _BUT_FOR.sub("vat", _NUMBERED.sub("number ", said)).strip()


def strange_in(words: str) -> tuple[str, ...]:
    """Return the plain words that may change what a paper is, each once, in order.

    Harmless are single letters, whatever has a digit, and the listed words, with the
    countries, their codes, and the woods of the tables.

    Source: the module; the tables of places, names and trade names.
    """
    return tuple(
        dict.fromkeys(
            word
            for word in words.split()
            if len(word) > 1
            and not any(mark.isdecimal() for mark in word)
            and word not in _harmless()
        )
    )


@lru_cache(maxsize=1)
def _harmless() -> frozenset[str]:
    told = (
        *(_HARMLESS, *places(), *names(), *trade_names()),
        *(place.name for place in places().values()),
    )
    return frozenset(word for text in told for word in plain(text).split())
