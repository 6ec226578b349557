"""Every paper that leaves the shop, drawn with names from many houses on it."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

from labels import (
    booklet,
    card,
    certificate,
    custody,
    due_diligence,
    envelope,
    hold_luggage,
    hold_tag,
    insurer,
    label,
    label_sheet,
    label_strip,
    letter,
    lot_card,
    match_sheets,
    materials,
    packing_list,
    plots,
    rack_card,
    tag,
    transfer_slip,
    witness_slip,
    worksheet,
    yield_sheet,
)
from labels.facts import Maker
from labels.label_strip import Strip
from labels.plot_figure import Heading
from labels.tag import MaySign
from labels.tongue import tongue
from ledger.trade.consignment import Party
from ledger.trade.forms.cites import cites_worksheet
from tests.labels import consignments, rack_samples, worksheets
from tests.labels.evidence_samples import EVIDENCE
from tests.labels.plot_samples import match, seasoning
from tests.labels.samples import (
    BACK_A,
    BACK_B,
    CARD,
    CERTIFICATE,
    CERTIFICATE_FILE,
    HEADING,
    MATERIALS_PAPER,
    PROOF_FILE,
    TAG,
    WHOLE,
)
from tests.labels.test_booklet import BOOKLET
from tests.labels.test_insurer import STATEMENT
from tests.labels.test_letter import LETTER
from tests.labels.test_transfer_slip import SLIP as HANDED_ON
from tests.labels.test_witness_slip import SLIP
from tests.labels.test_yield_sheet import SHEET
from tests.ledger.trade.forms.samples import SALE, with_items

# Polish, Greek and Cyrillic, Japanese, and a syllable of Korea that no face has.
GENUS, EPITHET = "Łąki Ωμέ", "Жук 荒川 뒤"
NAMED, UNKNOWN = f"{GENUS} {EPITHET}", "뒤"
DAY = "2026-11-21"


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A paper: how it is drawn and what it says it could not print, and what it is.

    day is empty where it is of none. outline is its list of contents, sections behind
    a dash; files are those that ride inside.
    """

    module: str
    draw: Callable[[], bytes]
    notices: Callable[[], tuple[str, ...]]
    title: str
    day: str
    language: str = "en"
    outline: tuple[str, ...] = ()
    files: tuple[str, ...] = ()


def _certificate() -> Paper:
    makers = (Maker("02", NAMED, "neck"), *CERTIFICATE.makers)
    shown = replace(CERTIFICATE, makers=makers, evidence=EVIDENCE)
    return Paper(
        module="certificate",
        draw=lambda: certificate.draw(
            shown,
            paper="A4",
            certificate_file=CERTIFICATE_FILE,
            proof_file=PROOF_FILE,
        ),
        notices=lambda: certificate.notices(shown),
        title="Owner certificate C-2026-00088, 26-0147-3",
        day=DAY,
        outline=(
            "Owner certificate",
            "Evidence",
            "- At a border, as of 2026-11-21",
            "- Said plainly",
            "- Checkpoint",
            "- Photographs on record",
        ),
        files=("certificate.json", "certificate.tlog-proof"),
    )


def _owner() -> dict[str, Paper]:
    """Return what an owner is given, and whoever insures."""
    shown = replace(CERTIFICATE, makers=(Maker("02", NAMED, "neck"),))
    insured = replace(STATEMENT, certificate=replace(shown, language="fr"))
    booked = replace(BOOKLET, certificate=replace(shown, language="es"))
    carried = replace(CARD, shop=NAMED, language="de")
    handed = replace(HANDED_ON, shop=NAMED, language="fr")
    return {
        "certificate": _certificate(),
        "card": Paper(
            module="card",
            draw=lambda: card.draw(carried),
            notices=lambda: card.notices(carried),
            title=tongue("de")("Owner card {serial}").format(serial="26-0147-3"),
            day="",
            language="de",
        ),
        "transfer slip": Paper(
            module="transfer_slip",
            draw=lambda: transfer_slip.draw(handed),
            notices=lambda: transfer_slip.notices(handed),
            title="Coupon de cession W-2026-00001, 26-0147-3",
            files=("checkpoint.txt",),
            day=DAY,
            language="fr",
        ),
        "insurer": Paper(
            module="insurer",
            draw=lambda: insurer.draw(insured, paper="Letter"),
            notices=lambda: insurer.notices(insured),
            title=f"{tongue('fr')('Statement for an insurer')}, 26-0147-3",
            day="2027-03-01",
            language="fr",
        ),
        "booklet, folded": Paper(
            module="booklet",
            draw=lambda: booklet.draw(booked, paper="A4"),
            notices=lambda: booklet.notices(booked),
            title=f"{tongue('es')('Owner’s booklet')}, 26-0147-3",
            day=DAY,
            language="es",
        ),
        "booklet, pages": Paper(
            module="booklet",
            draw=lambda: booklet.draw_pages(booked),
            notices=lambda: booklet.notices(booked),
            title=f"{tongue('es')('Owner’s booklet')}, 26-0147-3",
            day=DAY,
            language="es",
        ),
    }


def _written() -> dict[str, Paper]:
    """Return what is sent to an owner in doubt, and to a sawyer."""
    written = replace(LETTER, to=NAMED)
    yielded = replace(SHEET, whose=NAMED, language="de")
    return {
        "letter": Paper(
            module="letter",
            draw=lambda: letter.draw(written),
            notices=lambda: letter.notices(written),
            title="Draft, not sent: 26-0031-7, certificate C-2026-00088",
            day=DAY,
        ),
        "yield sheet": Paper(
            module="yield_sheet",
            draw=lambda: yield_sheet.draw(yielded),
            notices=lambda: yield_sheet.notices(yielded),
            title="Your wood at Skerrymoor Fretted Instruments",
            day=DAY,
            language="de",
        ),
    }


def _labels() -> dict[str, Paper]:
    """Return what is stuck on wood."""
    named = [
        replace(each, genus=GENUS, epithet=EPITHET) for each in (BACK_A, BACK_B, WHOLE)
    ]
    german = [replace(each, language="de") for each in named]
    strips = [Strip(front=named[0], thickness=4.0), Strip(front=named[2], thickness=9)]
    return {
        "label roll": Paper(
            module="label",
            draw=lambda: label.roll(german, dpi=203),
            notices=lambda: label.notices(german),
            title=tongue("de")("Board labels, {number}").format(number=3),
            day="",
            language="de",
        ),
        "label sheet": Paper(
            module="label_sheet",
            draw=lambda: label_sheet.sheet(named * 20, HEADING),
            notices=lambda: label.notices(named),
            title="Board labels of lot L23-040",
            day="",
        ),
        "label strips": Paper(
            module="label_strip",
            draw=lambda: label_strip.roll(strips),
            notices=lambda: label_strip.notices(strips),
            title="Thin-set labels, 2",
            day="",
        ),
    }


def _rack() -> dict[str, Paper]:
    """Return what hangs in the rack."""
    lot = replace(rack_samples.LOT, sawyer=NAMED)
    hold = replace(rack_samples.HOLD, doubted=NAMED)
    rows = rack_samples.CARD.rows * 12
    place = replace(rack_samples.CARD, place=NAMED, rows=rows)
    return {
        "lot card": Paper(
            module="lot_card",
            draw=lambda: lot_card.draw(lot),
            notices=lambda: lot_card.notices(lot),
            title="Card of lot L26-004",
            day="2026-01-12",
        ),
        "hold tag": Paper(
            module="hold_tag",
            draw=lambda: hold_tag.draw(hold),
            notices=lambda: hold_tag.notices(hold),
            title="Tag of hold H26-001",
            day="2026-01-12",
        ),
        "hold tag, strong": Paper(
            module="hold_luggage",
            draw=lambda: hold_luggage.draw(hold),
            notices=lambda: hold_tag.notices(hold),
            title="Tag of hold H26-001",
            day="2026-01-12",
        ),
        "rack card": Paper(
            module="rack_card",
            draw=lambda: rack_card.draw(place),
            notices=lambda: rack_card.notices(place),
            title=f"Rack card, {NAMED}",
            day="2026-01-12",
            outline=("sheet 1 of 2", "sheet 2 of 2"),
        ),
    }


def _drawer() -> dict[str, Paper]:
    """Return what lies in a drawer, or in a safe of another house."""
    sealed = replace(rack_samples.ENVELOPE, whose=NAMED)
    kept = replace(SLIP, origin=NAMED)
    return {
        "envelope": Paper(
            module="envelope",
            draw=lambda: envelope.draw(sealed),
            notices=lambda: envelope.notices(sealed),
            title="Root key, sealed 2026-01-12",
            day="2026-01-12",
        ),
        "witness slip": Paper(
            module="witness_slip",
            draw=lambda: witness_slip.draw(kept),
            notices=lambda: witness_slip.notices(kept),
            title=f"Witness slip, {SLIP.size} entries",
            files=("checkpoint.txt",),
            day=SLIP.date,
        ),
    }


def _bench() -> dict[str, Paper]:
    """Return what goes along the bench, and the plots of the wood."""
    travelling = replace(TAG, may_sign=(MaySign("04", NAMED),))
    heading = Heading(title=NAMED, where="rack", entries=(7,))
    plotted = replace(seasoning(), heading=heading)
    first, second = replace(match(), heading=heading), match()
    return {
        "build tag": Paper(
            module="tag",
            draw=lambda: tag.draw(travelling, paper="A4"),
            notices=lambda: tag.notices(travelling),
            title="Build tag 26-0147-3",
            files=("checkpoint.txt",),
            day="2026-09-04",
            outline=("Build tag 26-0147-3", "Route"),
        ),
        "plot": Paper(
            module="plots",
            draw=lambda: plots.pdf(plotted, day=DAY),
            notices=lambda: plots.notices(plotted),
            title=NAMED,
            day=DAY,
        ),
        "match sheets": Paper(
            module="match_sheets",
            draw=lambda: match_sheets.pdf([first, second], day=DAY),
            notices=lambda: plots.notices(first),
            title=NAMED,
            day=DAY,
            outline=(NAMED, second.heading.title),
        ),
    }


def _shipment() -> dict[str, Paper]:
    """Return what travels with a shipment, drawn as one kind of page."""
    to = replace(consignments.CONSIGNMENT.recipient, name=NAMED)
    goes = replace(consignments.CONSIGNMENT, recipient=to)
    imprint, ways = consignments.IMPRINT, consignments.chains_of(goes)
    _, asked, _ = consignments.due_diligence_of("one")
    ends = ("- Signed", "- What this paper is not")
    return {
        "packing list": Paper(
            module="species_page",
            draw=lambda: packing_list.draw(goes, imprint),
            notices=lambda: packing_list.notices(goes, imprint),
            title="Packing list X26-0412",
            day="2026-11-22",
            outline=("Packing list", *ends),
        ),
        "custody": Paper(
            module="species_page",
            draw=lambda: custody.draw(goes, ways, imprint),
            notices=lambda: custody.notices(goes, ways, imprint),
            title="Chain of custody X26-0412",
            day="2026-11-22",
            outline=("Chain of custody", *ends),
        ),
        "due diligence": Paper(
            module="species_page",
            draw=lambda: due_diligence.draw(goes, asked, imprint),
            notices=lambda: due_diligence.notices(goes, asked, imprint),
            title="Due diligence input X26-0412",
            day="2026-11-22",
            outline=("Due diligence input", *ends),
        ),
    }


def _forms() -> dict[str, Paper]:
    """Return the list of materials, and what to write on a form."""
    listed = replace(MATERIALS_PAPER, recipient=f"{NAMED}\nQuai 7")
    sold = replace(with_items(SALE, *worksheets.CROWD[:3]), sender=Party(name=NAMED))
    boxes = cites_worksheet(sold)
    return {
        "materials list": Paper(
            module="materials",
            draw=lambda: materials.draw(listed),
            notices=lambda: materials.notices(listed),
            title="Materials list X26-0412",
            day="2026-11-22",
            outline=("Materials list", "- Signed", "Rules and sources, row by row"),
        ),
        "worksheet": Paper(
            module="worksheet",
            draw=lambda: worksheet.draw(boxes, host="skm.example"),
            notices=lambda: worksheet.notices(boxes, host="skm.example"),
            title="Convention form, box by box X26-0001",
            day=sold.printed_on.isoformat(),
            outline=(
                "Convention form, box by box",
                "- Ask first",
                "- Re-export certificate",
                "- The same in every row",
                "- Row A: Dalbergia latifolia",
                "- Row B: Dalbergia cochinchinensis",
                "- Row C: Swietenia macrophylla",
                "- Below the rows",
                "- To mind",
            ),
        ),
    }


PAPERS = _owner() | _written() | _labels() | _rack()
PAPERS |= _drawer() | _bench() | _shipment() | _forms()


@cache
def drawn(name: str) -> bytes:
    """Return a paper's file, drawn once however often it is asked for."""
    return PAPERS[name].draw()
