"""The facts of the record brought to the papers that show them."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from sqlmodel import Session

from cli.instrument_timeline import used_idx
from cli.papers_disputed import mark, marked
from cli.papers_disputed import remarks as dispute_remarks
from cli.papers_emblem import emblem_of
from cli.papers_remarks import is_glued, remarks_of
from labels.card import OwnerCard
from labels.certificate import Maker, Material, Measure, OwnerCertificate
from labels.facts import figure_of
from labels.label import BoardLabel, Heading
from labels.page import thousands
from labels.terms import works_in
from labels.tongue import Tongue, tongue
from ledger import quantities
from ledger.acts.boards import stored_board
from ledger.acts.certificates import CertificatePaper, species_by_mass, whole_grams
from ledger.acts.closing import steps_at, wood_at
from ledger.acts.disputes import disputed_at, disputed_behind
from ledger.acts.shop import Shop
from ledger.acts.suppliers import SUPPLIER_NAME
from ledger.codes import check_character
from ledger.craft.measured import measure_words
from ledger.events import certificate as said
from ledger.events.build import Measure as Measured
from ledger.events.route import unit_of
from ledger.ids import BoardId
from ledger.log.merkle import leaf_hash
from ledger.views.boards import Board, parents_of
from ledger.views.certificates import certificates_of
from ledger.views.family import lots_of
from ledger.views.harvests import naming_of
from ledger.views.people import Person, subject_of_key
from ledger.views.rested import entries_at
from ledger.views.said import entry_said
from ledger.views.wood import UNKNOWN, Lot
from ledger.words import ten_words

# Whose wood an owner card names before any other.
VOICE = ("top", "back")


def board_label(shop: Shop, session: Session, code: str) -> BoardLabel:
    """Return what the label of a board says."""
    board = stored_board(session, code)
    lot = session.get_one(Lot, board.lot)
    half: Any = BoardId.parse(code).half
    lots = [session.get_one(Lot, other) for other in lots_of(session, code)]
    species = list(dict.fromkeys(other.species for other in lots))
    language = shop.settings.language
    genus, epithet = two_lines(species, tongue(language))
    return BoardLabel(
        code=code,
        check=check_character(code),
        genus=genus,
        epithet=epithet,
        lot=lot.code,
        received=lot.received_on,
        what=f"{board.meant_for}, half {half}" if half else board.meant_for,
        host=shop.settings.label_host.upper(),
        half=half or None,
        replacement=board.label,
        origin_unknown=UNKNOWN in species,
        made=_made(session, board),
        parent=_parent(session, board),
        also=tuple(other.code for other in lots if other.code != lot.code),
        disputed=_disputed(shop, session, board, lots),
        language=language,
    )


def _disputed(
    shop: Shop, session: Session, board: Board, lots: Sequence[Lot]
) -> int | None:
    """Return the first entry in dispute by which a board or its wood came in."""
    entries = (board.idx, *(lot.idx for lot in lots))
    return min(disputed_at(session, shop.standing(), entries), default=None)


def two_lines(species: list[str], say: Tongue) -> tuple[str, str]:
    """Return what a label says of its species in two lines; each, where it is two."""
    if len(species) == 1:
        genus, _, epithet = species[0].partition(" ")
        return genus, epithet
    if len(species) == 2:
        one, other = (name.partition(" ") for name in species)
        return f"{one[0][:1]}. {one[2]}", f"{other[0][:1]}. {other[2]}"
    return say("{number} species").format(number=len(species)), say("in one")


def _made(session: Session, board: Board) -> str:
    """Return how a board came from others, or nothing of one that came in."""
    if is_glued(session, board):
        return "glued"
    if not parents_of(session, board.code):
        return ""
    return "offcut" if board.is_offcut else "piece"


def _parent(session: Session, board: Board) -> str:
    """Return which board a piece was sawn from; of one that was glued, none."""
    parents = parents_of(session, board.code)
    return parents[0] if len(parents) == 1 else ""


def label_heading(shop: Shop, session: Session, code: str, who: str) -> Heading:
    """Return what stands over a sheet of labels of one lot."""
    lot = session.get_one(Lot, str(BoardId.parse(code).lot))
    opening = shop.vault.get(lot.supplier, SUPPLIER_NAME) if lot.supplier else None
    language = shop.settings.language
    return Heading(
        lot=lot.code,
        species=lot.species,
        sawyer=opening.value if opening else tongue(language)("old stock"),
        date=shop.today(),
        who=who,
        language=language,
    )


def owner_certificate(
    shop: Shop, paper: CertificatePaper, card_text: str, language: str = "en"
) -> OwnerCertificate:
    """Return what the pages of an owner's certificate show."""
    say = tongue(language)
    event, head, as_of = paper.event, paper.proof.head, paper.entry.index
    with shop.store.reading() as session:
        steps = steps_at(session, event.serial, as_of)
        # Drawn again, it counts neither what was said since, nor less than then.
        counted = len(entries_at(session, event.serial, as_of))
        signer = session.get_one(Person, subject_of_key(session, paper.entry.key))
        badge, is_erased = signer.badge, signer.is_erased
        standing, serial = shop.standing(), event.serial
        disputed = disputed_behind(session, standing, serial, as_of, as_of)
        remarks = remarks_of(session, event, as_of, say)
        remarks += tuple(dispute_remarks(session, disputed, as_of, say))
        makers = marked(session, _makers(paper, say), event, as_of, disputed, say)
        materials = tuple(_materials(session, paper, say))
    own = disputed.keys() & {as_of}
    return OwnerCertificate(
        shop=paper.shop,
        place=shop.settings.place,
        model=event.model,
        kind=event.instrument or "",
        run=run_words(event.run, say),
        serial=event.serial,
        number=event.number,
        makers=makers,
        materials=materials,
        measures=tuple(_measures(event)),
        signer_badge=badge,
        signer_name=None if is_erased else paper.signer,
        signer_rank=", ".join(filter(None, (say("lead builder"), mark(own, say)))),
        issued=event.issued_on,
        entry=as_of,
        leaf=leaf_hash(paper.file.record.data),
        key_id=paper.entry.key,
        card_text=card_text,
        as_of=event.issued_on,
        as_of_entry=as_of,
        checkpoint_note=paper.proof.checkpoint,
        root=head.root,
        ten_words=ten_words(head.root),
        entries=counted,
        steps=len({step.step for step in steps}),
        signers=len({step.key for step in steps}),
        remarks=tuple(sorted(remarks)),
        emblem=emblem_of(shop),
        language=language,
    )


def _makers(paper: CertificatePaper, say: Tongue) -> tuple[Maker, ...]:
    return tuple(
        Maker(m.badge, paper.names.get(m.subject), works_in(m.work, say))
        for m in paper.event.makers
    )


def _measures(event: said.CertificateIssued) -> Iterator[Measure]:
    """Yield the mass, and what was read last: what its owner measures again."""
    mass = Measured(what="mass", mass_mg=event.mass_mg)
    for measure in (mass, *event.measures[-5:]):
        yield Measure(measure.what, *value_and_unit(measure))


def owner_card(
    shop: Shop,
    paper: CertificatePaper,
    card_text: str,
    key_id: str,
    language: str = "en",
) -> OwnerCard:
    """Return what an owner's card shows."""
    event = paper.event
    with shop.store.reading() as session:
        year = year_made(session, event.serial)
    return OwnerCard(
        shop=paper.shop,
        model=event.model,
        kind=event.instrument or "",
        year=year,
        run=run_words(event.run, tongue(language)),
        serial=event.serial,
        certificate=event.number,
        entry=paper.entry.index,
        leaf=leaf_hash(paper.file.record.data),
        card_text=card_text,
        mass_g=whole_grams(event.mass_mg),
        species=_chief_woods(event),
        key_line=key_id,
        emblem=emblem_of(shop),
        figure=figure_of(
            event.instrument or "", ((m.part, m.species) for m in event.materials)
        ),
        language=language,
    )


def year_made(session: Session, serial: str) -> int:
    """Return the year of an instrument's first certificate: no repair makes it anew."""
    first, *_ = certificates_of(session, serial)
    return int(first.issued_on[:4])


def _chief_woods(event: said.CertificateIssued) -> tuple[str, ...]:
    """Return the woods that give the voice, top and back, and then by mass."""
    voice = [m.species for part in VOICE for m in event.materials if m.part == part]
    by_mass = [name for name, _ in species_by_mass(event)]
    return tuple(dict.fromkeys((*voice, *by_mass)))


def run_words(run: Any, say: Tongue) -> str:
    """Return a run in words, or nothing."""
    if not run:
        return ""
    return say("{run}, {number} of {pieces}").format(
        run=run.name, number=run.number, pieces=run.pieces
    )


def sawyer_words(material: said.Material, names: dict[str, str], say: Tongue) -> str:
    """Return who sawed a part's wood, as far as it may be shown."""
    if material.sawyer is None and material.opening:
        return say("old stock")
    named = names.get(material.sawyer.subject) if material.sawyer else None
    region = material.sawyer.region if material.sawyer else None
    of_region = say("a sawyer of {region}").format(region=region) if region else ""
    return named or of_region or say("known to the maker")


def _days_used(session: Session, serial: str, as_of: int) -> dict[str, str]:
    """Return the day on which the last wood of each part went in for good.

    Where no step used it up it went in with the first certificate after it.
    """
    issued = [row.idx for row in certificates_of(session, serial)]
    days: dict[str, str] = {}
    for stay in wood_at(session, serial, as_of):
        certified = next((idx for idx in issued if idx > stay.idx), as_of)
        used = used_idx(session, stay, min(certified, as_of)) or as_of
        day = entry_said(session, used).happened_at[:10]
        days[stay.part] = max(day, days.get(stay.part, ""))
    return days


def _may_be_from(
    session: Session, material: said.Material, as_of: int, say: Tongue
) -> str:
    """Return where a part's tree may have grown, where several places were named."""
    naming = None if material.harvested_in else naming_of(session, material.lot, as_of)
    *others, last = naming.countries.split() if naming else [""]
    if not others:
        return ""
    return say("{places} or {last}, not known which").format(
        places=", ".join(others), last=last
    )


def _materials(
    session: Session, paper: CertificatePaper, say: Tongue
) -> Iterator[Material]:
    event, as_of = paper.event, paper.entry.index
    used = _days_used(session, event.serial, as_of)
    for each in event.materials:
        may_be = _may_be_from(session, each, as_of, say)
        yield _material(each, paper, used[each.part], may_be, say)


def _material(
    material: said.Material,
    paper: CertificatePaper,
    used_on: str,
    may_be_from: str,
    say: Tongue,
) -> Material:
    sawyer = material.sawyer
    region = sawyer.region if sawyer and sawyer.subject in paper.names else None
    named = material.harvested_in or may_be_from
    grown = [place for place in (region, named) if place]
    return Material(
        part=material.part,
        species=material.species,
        trade_name=material.trade_name or "",
        sawyer=sawyer_words(material, paper.names, say),
        place_of_growth=", ".join(grown) or say("place of growth not known"),
        board=material.board,
        months=_months(material.received_on, used_on),
        grams=whole_grams(material.mass_mg),
    )


def _months(since: str, until: str) -> int:
    first, last = date.fromisoformat(since), date.fromisoformat(until)
    months = (last.year - first.year) * 12 + last.month - first.month
    return max(0, months - (last.day < first.day))


def value_and_unit(measure: Measured) -> tuple[str, str]:
    """Return a measure's value and unit."""
    if measure.mass_mg is not None:
        return thousands(whole_grams(measure.mass_mg)), "g"
    unit = unit_of(measure)
    text = measure_words(unit, getattr(measure, unit))
    value, _, written = text.partition(quantities.THIN_SPACE)
    return value, written
