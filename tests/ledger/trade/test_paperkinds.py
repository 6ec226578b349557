"""What papers are taken for: their published names, what is near them, and what not."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.acts import deliveries, plots
from ledger.trade.paperkinds import (
    EXPORT,
    KINDS,
    NOTE,
    OF_ORIGIN,
    OPEN,
    PaperKind,
    is_of,
    kinds_of,
    names_of,
    notes_on,
    taken_for,
    which_of_cites,
)
from ledger.trade.tables import papers, places

# By Resolution Conf. 12.3, and by Regulation (EC) 338/97 with (EU) 792/2012, article 1,
# in English, German, French and Italian; Spanish from memory.
PUBLISHED = {
    "export permit": (
        *(
            "CITES export permit",
            "EXPORT PERMIT no. 7",
            "Export permits",
            "export_permit",
        ),
        *("CITES-Ausfuhrgenehmigung Nr. 7", "Permis d’exportation"),
        *(
            "permis d'exportation CITES",
            "Permiso de exportación",
            "permiso de exportacion",
        ),
        "licenza di esportazione",
    ),
    "re-export certificate": (
        *(
            "CITES Re-Export Certificate",
            "reexport certificate",
            "re‑export certificates",
        ),
        *("Wiederausfuhrbescheinigung", "certificat de réexportation"),
        *("CITES certificado de reexportación", "certificato di riesportazione"),
    ),
    "import permit": (
        *("CITES import permit", "Einfuhrgenehmigung", "permis d'importation"),
        *("permiso de importación", "licenza di importazione"),
    ),
    "EU import permit": ("EU import permit 0417", "EU-Einfuhrgenehmigung"),
    "import notification": (
        *(
            "import notification (Annex C)",
            "Einfuhrmeldung",
            "notifica di importazione",
        ),
        *("notification d'importation", "notificación de importación"),
    ),
    "pre-Convention certificate": (
        *("CITES pre-Convention certificate", "Preconvention certificate"),
        *("Vorerwerbsbescheinigung", "certificat pré-Convention"),
        "certificado preconvención",
    ),
    "certificate of origin": (
        *("Certificate of Origin, Appendix III", "Ursprungszeugnis"),
        *("certificat d'origine", "certificado de origen", "certificato di origine"),
    ),
    "certificate of artificial propagation": (
        "CITES certificate of artificial propagation",
    ),
    "musical instrument certificate": (
        *("Musical Instrument Certificate", "Musikinstrumentenbescheinigung"),
        *("certificat pour instrument de musique", "certificato di strumento musicale"),
    ),
    "travelling exhibition certificate": (
        *("travelling-exhibition certificate", "certificato per mostra itinerante"),
    ),
    "Article 10 certificate": ("Article 10 certificate", "Vermarktungsbescheinigung"),
    "CITES permit or certificate": (
        *("CITES", "CITES permit", "CITES exp. permit no 12", "import/export permit"),
        "CITES PERMIT/CERTIFICATE: EXPORT, RE-EXPORT, IMPORT, OTHER",
    ),
    "invoice": ("Commercial invoice", "Rechnung 26/7", "facture", "CITES invoice"),
    "receipt": ("Receipts", "Quittung", "reçu", "recu", "recibo"),
    "phytosanitary certificate": ("Phytosanitary certificate for re-export",),
    "Lacey Act declaration": ("PPQ Form 505", "Lacey Act Declaration (PPQ 505)"),
    "wildlife declaration": ("Form 3-177",),
    "delivery note": ("Lieferschein", "delivery receipt", "goods receipt"),
    "transport document": ("air waybill 020", "lettre de voiture"),
    "customs declaration": (
        *("export declaration of customs", "CITES export declaration"),
        "Ausfuhranmeldung",
    ),
    "application": ("application for export permit", "Antrag auf Ausfuhrgenehmigung"),
    "letter": ("letter about the export permit", "e-mail with the invoice"),
    "pro forma invoice": ("Pro-forma invoice", "Proforma Rechnung"),
    "customs certificate of origin": (
        *("certificate of origin, Chamber of Commerce", "IHK-Ursprungszeugnis"),
        "non-preferential certificate of origin",
    ),
}
NEITHER = (
    *("kiln certificate", "permit", "certificate", "export papers", "exp. permit"),
    *(
        "convention",
        "recites",
        "invoiced",
        "rapport",
        "輸出許可書",
        "木材の請求書",
        "—",
    ),
)
# A paper that is not there, not yet or no more, in the languages of the list.
TAKEN_AWAY = (
    *("no export permit", "sold without invoice", "ohne Rechnung", "non-CITES wood"),
    *("statement: no CITES permit needed", "CITES not required", "no invoice (CITES)"),
    *("export permit is not needed", "import permit not required"),
    *("refusal of export permit", "not an export permit", "not yet an export permit"),
    *("export permit rejected", "re-export certificate refused", "permit denied CITES"),
    *("import permit, revoked", "export permit (void)", "lost export permit"),
    *("stolen export permit", "expired export permit", "export permit applied for"),
    *("export permit requested", "export permit pending", "export permit to follow"),
    *("blank export permit", "blank export permit form", "sample export permit"),
    *("Ablehnung der Ausfuhrgenehmigung", "Ausfuhrgenehmigung abgelehnt"),
    *("refus de permis d'exportation", "permis d'exportation annulé"),
    *("permiso de exportación denegado", "permiso de exportación no disponible"),
    *("licenza di esportazione rifiutata", "CITES leaflet", "CITES-Merkblatt"),
    *("invoice cancelled", "invoice to follow", "missing invoice", "Rechnung fehlt"),
    *("sin factura", "senza fattura", "Rechnung folgt", "pas de facture"),
)
# What nobody can tell from the words beside it; it is looked at before it counts.
LEFT_OPEN = {
    "CITES permit or certificate": (
        *("export permit Quillon", "import permit Quillon", "CITES export Quillon"),
        "export permit gone",
    ),
    "possible proof of purchase": ("invoice Quillon", "quillon-invoice.pdf"),
}
HARMLESS = {
    "export permit": (
        *("Export permit No. 12", "export permit NO 12", "No. 12, export permit"),
        *("Indian export permit no. IN/77, copy", "scan of export permit IN-2026/77"),
        *("export permit Dalbergia latifolia, 14 March 2026", "CITES export"),
        *("export permit for rosewood, Brazil", "Kopie der Ausfuhrgenehmigung"),
        "export permit, non-commercial",
    ),
    "invoice": (
        *("facture sans TVA", "Rechnung ohne MwSt.", "invoice (paid)", "invoice.pdf"),
        "copy of the invoice of 3 January 2026",
    ),
    "contract of sale": (
        *("Kaufvertrag", "contrat de vente", "contrato de compraventa"),
        *("Contract of sale", "contratto di vendita"),
    ),
}


@pytest.mark.parametrize(
    ("paper", "kind"),
    [
        (paper, kind)
        for told in (PUBLISHED, HARMLESS, LEFT_OPEN)
        for kind, called in told.items()
        for paper in called
    ],
)
def test_a_paper_is_taken_for_what_it_is_called(paper: str, kind: str) -> None:
    """In capitals or not, with hyphens and accents or without, in five languages."""
    assert [each.name for each in kinds_of(paper)] == [kind]


@pytest.mark.parametrize("paper", NEITHER)
def test_what_only_sounds_like_a_paper_is_taken_for_none(paper: str) -> None:
    """With what to do about it."""
    assert kinds_of(paper) == ()
    assert taken_for(paper) == ""
    assert "counts as no permit and no invoice" in notes_on(paper)[0]


@pytest.mark.parametrize("paper", TAKEN_AWAY)
def test_a_paper_that_is_not_there_is_none(paper: str) -> None:
    """Refused, lost, blank or to follow: it counts as no permit and no invoice."""
    assert kinds_of(paper) == (NOTE,)
    assert which_of_cites(paper) is None
    assert not is_of(paper, "purchase")


@pytest.mark.parametrize("name", sorted(place.name for place in places().values()))
def test_a_permit_of_any_country_is_one(name: str) -> None:
    """San Marino is no French refusal."""
    assert kinds_of(f"export permit of {name}") == (EXPORT,)


@pytest.mark.parametrize("paper", [p for told in LEFT_OPEN.values() for p in told])
def test_what_left_a_paper_open_is_named(paper: str) -> None:
    """With the names that leave nothing open."""
    (note,) = notes_on(paper)

    assert "its name leaves open by '" in note
    assert "file it again as one of" in note
    assert not is_of(paper, "purchase")


@pytest.mark.parametrize(
    ("paper", "words"),
    [
        ("invoice and packing list", "an invoice and a packing list"),
        ("export permit with invoice", "an export permit and an invoice"),
        ("invoice, customs, CMR waybill", "an invoice, a transport document and a"),
        ("facture sans TVA", "an invoice"),
    ],
)
def test_a_paper_that_is_several_is_taken_for_each(paper: str, words: str) -> None:
    """In the order of the list, each once."""
    assert taken_for(paper).startswith(words)


@pytest.mark.parametrize(
    ("paper", "kind"),
    [
        ("export permit and invoice", EXPORT),
        ("CITES", OPEN),
        ("export permit or re-export certificate", OPEN),
        ("invoice", None),
    ],
)
def test_which_paper_of_cites_it_is_may_be_left_open(
    paper: str, kind: PaperKind | None
) -> None:
    """Where a name says two, it says none for sure."""
    assert which_of_cites(paper) is kind


@pytest.mark.parametrize(
    ("paper", "note"),
    [
        ("CITES permit", "its name leaves open which of CITES it is"),
        ("export permit or re-export certificate", "file it again as one of: export"),
        ("certificate of origin", "file it again as customs certificate of origin"),
        (
            "application for an export permit",
            "it speaks of an export permit and counts as none: if it is that itself",
        ),
        ("kiln certificate", f"as one of: {names_of('CITES', 'purchase')}"),
    ],
)
def test_a_name_that_tells_too_little_is_told_at_once(paper: str, note: str) -> None:
    """With what to do; a name that tells enough has no note."""
    (said,) = notes_on(paper)

    assert note in said


@pytest.mark.parametrize(
    "paper", ["export permit", "invoice", "packing list", "letter"]
)
def test_a_name_that_tells_enough_has_no_note(paper: str) -> None:
    """Nobody is told what is plain."""
    assert notes_on(paper) == ()


def test_every_kind_is_known_by_its_own_name_and_words() -> None:
    """No word belongs to two kinds; only what is left open is never advised."""
    said = [
        (words, kind)
        for kind in KINDS
        for words in (kind.name, *filter(None, kind.words.split(";")))
    ]

    assert [kinds_of(words) for words, _ in said] == [(kind,) for _, kind in said]
    assert len({kind.name for kind in KINDS}) == len(KINDS)
    assert OPEN.name not in names_of("CITES").split(", ")
    assert {*OF_ORIGIN} <= {*KINDS}


def test_every_document_of_the_law_is_told_apart() -> None:
    """Those of the Convention as of it, and those of other laws as none of them."""
    of_cites = {name for name in papers() if is_of(name, "CITES")}
    others = {name for name in papers() if is_of(name, "another law")}

    assert of_cites | others == {*papers()}
    assert of_cites == {
        kind.name for kind in KINDS if kind.group == "CITES" and kind.name in papers()
    }


def test_what_the_ledger_files_by_itself_is_told_apart() -> None:
    """The packing list and the plots of a lot, by the names that it gives them."""
    assert taken_for(deliveries.PAPER) == "a packing list"
    assert taken_for(plots.PAPER) == "a file of plots"


@given(st.text(max_size=60), st.sampled_from(KINDS))
def test_whatever_is_typed_is_taken_for_something_or_nothing(
    text: str, kind: PaperKind
) -> None:
    """No text is too strange, and marks around a name change nothing."""
    assert bool(kinds_of(text)) == bool(taken_for(text))
    assert kinds_of(f"  «{kind.name.upper()}», 7/26 ") == (kind,)
