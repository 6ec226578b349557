"""What a paper on file is taken for, by the words under which it was filed.

    kinds_of("CITES-Ausfuhrgenehmigung Nr. 7")  # an export permit
    kinds_of("invoice with packing list")       # an invoice and a packing list
    kinds_of("CITES exp. permit no 12")         # one of CITES that does not say which
    kinds_of("application for export permit")   # an application, and no permit
    kinds_of("export permit refused")           # a note about a paper, and no permit
    kinds_of("export permit Quillon")           # one of CITES: who knows what that says
    kinds_of("kiln certificate")                # nothing that is told apart here

The list is closed, and every room that reads the name of a paper asks this one.
Capitals, accents, hyphens and the s of a plural make no difference. A permit counts as
itself, and an invoice as one, only where all the words beside its name are harmless.

Source: the names that Resolution Conf. 12.3, Regulation (EC) 338/97 and Implementing
Regulation (EU) 792/2012 have for them; of the last its German and Italian article 1 was
read in part, and the other languages are from memory. The words of trade are common
practice without a source.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

from ledger.scales import in_a_row
from ledger.trade.paperwords import TAKING_AWAY, plain, strange_in

# What a paper counts as. One that is `about` another counts as none, whatever else its
# name says: an application for a permit is no permit. One that is `left open` is looked
# at before it shows that wood was bought.
Group = Literal["CITES", "purchase", "left open", "another law", "trade", "about"]


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
# What may show that wood was bought: an invoice, if nothing else that stands there.
UNSURE: Final = PaperKind(name="possible proof of purchase", group="left open")
# What speaks of a paper that was refused, lost or voided, or that is to follow.
NOTE: Final = PaperKind(name="note about a paper", group="about", words=TAKING_AWAY)
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
        name="contract of sale",
        group="purchase",
        words="sales contract; purchase contract; contract of purchase; Kaufvertrag; "
        "contrat de vente; contrato de compraventa; contratto di vendita; contratto di "
        "compravendita",
    ),
    PaperKind(
        name="proof of purchase",
        group="purchase",
        words="Kaufbeleg; preuve d'achat; prueba de compra; prova d'acquisto",
    ),
    UNSURE,
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
    NOTE,
)
# Those that say where wood grew, the best first: common practice, no source.
OF_ORIGIN: Final = (EXPORT, ORIGIN, HEALTH, HARVEST, OPEN, IMPORT, UNION_IMPORT)
# How the words begin that say which way wood goes; they are heard beside "CITES" alone.
_WAYS: Final = (
    (RE_EXPORT, ("reexport", "wiederausfuhr", "riesport")),
    (EXPORT, ("export", "ausfuhr", "esporta")),
    (IMPORT, ("import", "einfuhr")),
)
# What a paper is called that may be sure of its group, but not of its kind.
_LEFT_OPEN: Final = {"CITES": OPEN, "purchase": UNSURE}


def kinds_of(paper: str) -> tuple[PaperKind, ...]:
    """Return what a paper is taken for, in the order of the list; mostly one kind.

    Source: Resolution Conf. 12.3; Regulation (EC) 338/97; see the module.
    """
    named = _named(paper) or _by_its_way(paper)
    told = tuple(kind for kind in named if kind.group == "about")
    if told or not strange_words(paper):
        return told or named
    found = {_LEFT_OPEN.get(kind.group, kind) for kind in named}
    return tuple(kind for kind in KINDS if kind in found)


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


def strange_words(paper: str) -> tuple[str, ...]:
    """Return the words beside the names of papers that may change what a paper is.

    Source: the list of harmless words, in paperwords.
    """
    return strange_in(_pattern().sub(" ", plain(paper)))


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
    strange = strange_words(paper)
    because = f" by {in_a_row(list(map(repr, strange)))}" if strange else ""
    if which_of_cites(paper) is OPEN:
        notes.append(
            f"its name leaves open{because} which of CITES it is, and the forms ask "
            f"for it: file it again as one of: {names_of('CITES')}"
        )
    if UNSURE in kinds:
        notes.append(
            f"its name leaves open{because} whether it shows that the wood was bought: "
            f"if it does, file it again as one of: {names_of('purchase')}"
        )
    passed_over = [k for k in _named(paper) if k.group != "about"]
    if kinds[0].group == "about" and passed_over:
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


def _named(paper: str) -> tuple[PaperKind, ...]:
    """Return the kinds whose words stand in a name, each once, as the list has them."""
    by_words = _kinds_by_words()
    hits = {by_words.get(hit[0], NOTE) for hit in _pattern().finditer(plain(paper))}
    return tuple(kind for kind in KINDS if kind in hits)


def _by_its_way(paper: str) -> tuple[PaperKind, ...]:
    """Return what a paper is that is called CITES, by which way the wood goes."""
    words = plain(paper).split()
    if plain("CITES") not in words:
        return ()
    ways = [
        kind for kind, starts in _WAYS if any(word.startswith(starts) for word in words)
    ]
    return (ways[0],) if len(ways) == 1 else (OPEN,)


@lru_cache(maxsize=1)
def _kinds_by_words() -> dict[str, PaperKind]:
    """Return every kind by each of its words that has no other ending."""
    return {plain(words): kind for words, kind in _words_of_kinds() if "*" not in words}


@lru_cache(maxsize=1)
def _pattern() -> re.Pattern[str]:
    """Return what finds the words of every kind, the longest first."""
    told = {
        plain(words) + r"\w*" * words.endswith("*") for words, _ in _words_of_kinds()
    }
    return re.compile(rf"\b(?:{'|'.join(sorted(told, key=len, reverse=True))})\b")


def _words_of_kinds() -> Iterator[tuple[str, PaperKind]]:
    for kind in KINDS:
        for words in (kind.name, *filter(None, kind.words.split(";"))):
            yield words, kind
