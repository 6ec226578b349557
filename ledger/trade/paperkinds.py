"""What a paper on file is taken for, by the words under which it was filed.

    kinds_of("CITES-Ausfuhrgenehmigung Nr. 7")  # an export permit
    kinds_of("invoice with packing list")       # an invoice and a packing list
    kinds_of("CITES exp. permit no 12")         # one of CITES that does not say which
    kinds_of("application for export permit")   # an application, and no permit
    kinds_of("kiln certificate")                # nothing that is told apart here

The list is closed, and every room that reads the name of a paper asks this one.
Capitals, accents, hyphens and the s of a plural make no difference.

Source: the names that Resolution Conf. 12.3, Regulation (EC) 338/97 and Implementing
Regulation (EU) 792/2012 have for them; of the last its German and Italian article 1 was
read in part, and the other languages are from memory. The words of trade are common
practice without a source.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Final, Literal
from unicodedata import category, normalize

from ledger.scales import in_a_row

# What a paper counts as. One that is `about` another counts as none, whatever else its
# name says: an application for a permit is no permit.
Group = Literal["CITES", "purchase", "another law", "trade", "about"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperKind:
    """A kind of paper: what it is called, what it counts as, and by which words.

    words            what it is called beside its name, with semicolons between
    is_for_a_border  whether wood crosses a border with it, so that it comes before
    beware           what else is called the same and is not meant, in a sentence
    """

    name: str
    group: Group
    words: str = ""
    is_for_a_border: bool = False
    beware: str = ""

    @property
    def with_article(self) -> str:
        """Its name as a sentence has it: an export permit."""
        return f"{'an' if self.name[0] in 'aeiAEI' else 'a'} {self.name}"


EXPORT: Final = PaperKind(
    name="export permit",
    group="CITES",
    is_for_a_border=True,
    words="Ausfuhrgenehmigung; permis d'exportation; permiso de exportación; "
    "licenza di esportazione; permesso di esportazione",
)
RE_EXPORT: Final = PaperKind(
    name="re-export certificate",
    group="CITES",
    is_for_a_border=True,
    words="re-export permit; Wiederausfuhrbescheinigung; certificat de réexportation; "
    "certificado de reexportación; certificato di riesportazione",
)
IMPORT: Final = PaperKind(
    name="import permit",
    group="CITES",
    is_for_a_border=True,
    words="Einfuhrgenehmigung; permis d'importation; permiso de importación; licenza "
    "di importazione; permesso di importazione",
)
UNION_IMPORT: Final = PaperKind(
    name="EU import permit",
    group="CITES",
    is_for_a_border=True,
    words="EU-Einfuhrgenehmigung; Union import permit",
)
ORIGIN: Final = PaperKind(
    name="certificate of origin",
    group="CITES",
    words="Ursprungszeugnis; Ursprungsbescheinigung; certificat d'origine; certificado "
    "de origen; certificato d'origine; certificato di origine",
    beware="chambers of commerce give one of the same name, which is none of CITES: if "
    "it is that, file it again as customs certificate of origin",
)
# A paper of the Convention that is called no more than that.
OPEN: Final = PaperKind(
    name="CITES permit or certificate",
    group="CITES",
    words="import/export permit; export/import permit; export/re-export permit; "
    "export/re-export certificate",
)
HEALTH: Final = PaperKind(
    name="phytosanitary certificate",
    group="trade",
    words="Pflanzengesundheitszeugnis; certificat phytosanitaire; certificado "
    "fitosanitario; certificato fitosanitario",
)
HARVEST: Final = PaperKind(
    name="harvest permit",
    group="trade",
    words="harvesting permit; felling permit; felling licence; felling license; "
    "logging permit; cutting permit; Fällgenehmigung; permis de coupe; permiso de "
    "aprovechamiento; autorizzazione al taglio",
)
KINDS: Final = (
    EXPORT,
    RE_EXPORT,
    IMPORT,
    UNION_IMPORT,
    PaperKind(
        name="import notification",
        group="CITES",
        is_for_a_border=True,
        words="Einfuhrmeldung; notification d'importation; notificación de "
        "importación; notifica di importazione; notifica d'importazione",
    ),
    PaperKind(
        name="pre-Convention certificate",
        group="CITES",
        words="preconvention certificate; Vorerwerbsbescheinigung; certificat "
        "pré-Convention; certificat préconvention; certificado preconvención; "
        "certificado pre-Convención; certificato pre-Convenzione",
    ),
    ORIGIN,
    PaperKind(
        name="certificate of artificial propagation",
        group="CITES",
        is_for_a_border=True,
        words="certificat de reproduction artificielle; certificado de reproducción "
        "artificial",
    ),
    PaperKind(
        name="musical instrument certificate",
        group="CITES",
        words="Musikinstrumentenbescheinigung; certificat pour instrument de musique; "
        "certificat d'instrument de musique; certificado de instrumento musical; "
        "certificato di strumento musicale",
    ),
    PaperKind(
        name="travelling exhibition certificate",
        group="CITES",
        words="Wanderausstellungsbescheinigung; certificat pour exposition itinérante; "
        "certificado de exhibición itinerante; certificato per mostra itinerante",
    ),
    PaperKind(
        name="Article 10 certificate",
        group="CITES",
        words="Art. 10 certificate; Vermarktungsbescheinigung; certificat "
        "intra-communautaire",
    ),
    OPEN,
    PaperKind(
        name="invoice",
        group="purchase",
        words="facture; Rechnung; Rechnungen; Handelsrechnung; factura; fattura",
    ),
    PaperKind(
        name="receipt", group="purchase", words="Quittung; reçu; recibo; ricevuta"
    ),
    PaperKind(name="bill of sale", group="purchase"),
    PaperKind(
        name="proof of purchase",
        group="purchase",
        words="Kaufbeleg; preuve d'achat; prueba de compra; prova d'acquisto",
    ),
    HEALTH,
    HARVEST,
    PaperKind(
        name="Lacey Act declaration",
        group="another law",
        words="PPQ 505; PPQ Form 505",
    ),
    PaperKind(name="wildlife declaration", group="another law", words="Form 3-177"),
    PaperKind(name="protected plant permit", group="another law"),
    PaperKind(name="Ivory Act registration", group="another law"),
    PaperKind(
        name="record of the de minimis rule",
        group="another law",
        words="records of the de minimis rule",
    ),
    PaperKind(name="due diligence statement", group="another law"),
    PaperKind(name="due diligence record", group="another law"),
    PaperKind(
        name="packing list",
        group="trade",
        words="Packliste; liste de colisage; lista de empaque",
    ),
    PaperKind(
        name="delivery note",
        group="trade",
        words="delivery receipt; goods receipt; Lieferschein; bon de livraison; nota "
        "de entrega; albarán; bolla di consegna",
    ),
    PaperKind(
        name="transport document",
        group="trade",
        words="bill of lading; air waybill; waybill; Frachtbrief; Konnossement; lettre "
        "de voiture; carta de porte; conocimiento de embarque; lettera di vettura",
    ),
    PaperKind(
        name="customs declaration",
        group="trade",
        words="customs; export declaration; re-export declaration; import declaration; "
        "Zollanmeldung; Ausfuhranmeldung; Einfuhranmeldung; déclaration en douane; "
        "declaración de aduana; dichiarazione doganale",
    ),
    PaperKind(name="file of plots", group="trade", words="plots of harvest"),
    PaperKind(
        name="calibration certificate",
        group="trade",
        words="Kalibrierschein; certificat d'étalonnage; certificado de calibración; "
        "certificato di taratura",
    ),
    PaperKind(
        name="application",
        group="about",
        words="request; draft; Antrag; Entwurf; demande; solicitud; domanda; richiesta",
    ),
    PaperKind(
        name="letter",
        group="about",
        words="e-mail; email; Brief; lettre; carta; lettera",
    ),
    PaperKind(
        name="pro forma invoice",
        group="about",
        words="pro forma; proforma; Proformarechnung",
    ),
    PaperKind(
        name="customs certificate of origin",
        group="about",
        words="chamber of commerce; Handelskammer; IHK; chambre de commerce; cámara de "
        "comercio; camera di commercio; EUR.1; preferential certificate of origin; "
        "non-preferential certificate of origin",
    ),
)
# Those that say where wood grew, the best first: common practice, no source.
OF_ORIGIN: Final = (EXPORT, ORIGIN, HEALTH, HARVEST, OPEN, IMPORT, UNION_IMPORT)
# How the words begin that say which way wood goes; they are heard beside "CITES" alone.
_WAYS: Final = (
    (RE_EXPORT, ("reexport", "wiederausfuhr", "riesport")),
    (EXPORT, ("export", "ausfuhr", "esporta")),
    (IMPORT, ("import", "einfuhr")),
)
# What says that a paper is not there, before its name or after it.
_NONE: Final = ("no", "not", "non", "without", "kein", "keine", "ohne", "sans", "senza")
_NOT: Final = ("not", "nicht")


def kinds_of(paper: str) -> tuple[PaperKind, ...]:
    """Return what a paper is taken for, in the order of the list; mostly one kind.

    Source: Resolution Conf. 12.3; Regulation (EC) 338/97; see the module.
    """
    hits = _hits(paper)
    if not hits:
        return _by_its_way(paper)
    named = _named(hits)
    return tuple(kind for kind in named if kind.group == "about") or named


def is_of(paper: str, group: Group) -> bool:
    """Tell whether a paper is taken for one of a group.

    Source: as kinds_of.
    """
    return any(kind.group == group for kind in kinds_of(paper))


def which_of_cites(paper: str) -> PaperKind | None:
    """Return which paper of CITES it is, OPEN where its name leaves that open, or None.

    Source: as kinds_of.
    """
    found = [kind for kind in kinds_of(paper) if kind.group == "CITES"]
    return OPEN if len(found) > 1 else next(iter(found), None)


def taken_for(paper: str) -> str:
    """Say what a paper is taken for: an export permit and an invoice; or nothing.

    Source: as kinds_of.
    """
    kinds = kinds_of(paper)
    return in_a_row([kind.with_article for kind in kinds]) if kinds else ""


def notes_on(paper: str) -> tuple[str, ...]:
    """Say where the name of a paper leaves open what it is, and what to do about it.

    Source: as kinds_of.
    """
    kinds = kinds_of(paper)
    if not kinds:
        return (
            f"{paper!r} is none of the papers that are told apart here, so that it "
            f"counts as no permit and no invoice: if it is one, file it again as one "
            f"of: {names_of('CITES', 'purchase')}",
        )
    notes = [kind.beware for kind in kinds if kind.beware]
    if which_of_cites(paper) is OPEN:
        notes.append(
            f"its name leaves open which of CITES it is, and the forms ask for it: "
            f"file it again as one of: {names_of('CITES')}"
        )
    passed_over = [kind for kind in _named(_hits(paper)) if kind not in kinds]
    if passed_over:
        said = in_a_row([kind.with_article for kind in passed_over])
        notes.append(
            f"it speaks of {said} and counts as none: if it is that itself, file it "
            f"again under that name alone"
        )
    return tuple(notes)


def names_of(*groups: Group) -> str:
    """Return what the kinds of some groups are called, in the order of the list.

    Source: as kinds_of.
    """
    return ", ".join(k.name for k in KINDS if k.group in groups and k is not OPEN)


def _named(hits: list[tuple[PaperKind, bool]]) -> tuple[PaperKind, ...]:
    """Return the kinds that a name says are there, each once, as the list has them."""
    return tuple(kind for kind in KINDS if (kind, True) in hits)


def _hits(paper: str) -> list[tuple[PaperKind, bool]]:
    """Return the kinds whose words stand in a name, and whether each is there."""
    pattern, kind_by_words = _table()
    return [
        (kind_by_words[hit["words"]], not (hit["none"] or hit["not"]))
        for hit in pattern.finditer(_plain(paper))
    ]


def _by_its_way(paper: str) -> tuple[PaperKind, ...]:
    """Return what a paper is that is called CITES, by which way the wood goes."""
    words = _plain(paper).split()
    named = _plain("CITES")
    is_none = any(
        other == named and one in _NONE for one, other in pairwise(words)
    ) or not {*_NOT}.isdisjoint(words)
    if named not in words or is_none:
        return ()
    ways = [
        kind for kind, starts in _WAYS if any(word.startswith(starts) for word in words)
    ]
    return (ways[0],) if len(ways) == 1 else (OPEN,)


@lru_cache(maxsize=1)
def _table() -> tuple[re.Pattern[str], dict[str, PaperKind]]:
    """Return what finds the words of every kind, the longest first, and their kinds."""
    kind_by_words = {
        _plain(words): kind
        for kind in KINDS
        for words in (kind.name, *filter(None, kind.words.split(";")))
    }
    every, none, not_ = (
        "|".join(map(_plain, words))
        for words in (sorted(kind_by_words, key=len, reverse=True), _NONE, _NOT)
    )
    pattern = (
        rf"\b(?P<none>(?:{none}) )??(?P<words>{every})\b(?P<not>(?: is)? (?:{not_})\b)?"
    )
    return re.compile(pattern), kind_by_words


def _plain(text: str) -> str:
    """Return words in small letters, without accents, hyphens and the s of a plural."""
    letters = "".join(
        mark for mark in normalize("NFKD", text.casefold()) if category(mark) != "Mn"
    )
    words = [
        word.removesuffix("s") if len(word) > 3 else word
        for word in re.findall(r"[^\W_]+", letters)
    ]
    return f" {' '.join(words)} ".replace(" re export", " reexport").strip()
