"""The facts of a shipment brought to its materials list."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any

from cli.papers_disputed import words_of
from cli.papers_doubt import disputed_in, holds_in
from cli.shipment_lines import for_reading, is_weighed, open_for_age, why_aged
from labels.materials_facts import (
    Counts,
    MaterialRow,
    MaterialsPaper,
    RuleRow,
    WithThisPage,
)
from labels.species_columns import is_too_long, what
from labels.species_facts import Imprint
from labels.tongue import tongue
from ledger.acts.consignments import recipient_of
from ledger.acts.described import PIECE
from ledger.acts.freight import day_of
from ledger.acts.holds import by_paper, holds_on
from ledger.acts.shipments import Plan
from ledger.acts.shop import Shop
from ledger.acts.signing import person_name
from ledger.codes import check_character
from ledger.log.checkpoint import Checkpoint
from ledger.scales import in_a_row
from ledger.trade.answers import Determination
from ledger.trade.confidence import (
    CONFIDENCE,
    MEMORY,
    confidence_words,
    is_from_memory,
)
from ledger.trade.coverage import ASK, NEEDED
from ledger.trade.documents import office_words
from ledger.trade.law import Law
from ledger.trade.movement import place_name, purpose_words, where_words
from ledger.trade.names import WRITE_IT, meant_by, read_name
from ledger.trade.shipment import Line, ShipmentDetermination
from ledger.trade.tables import ANIMAL_FORMS
from ledger.trade.ways import way_line
from ledger.views.wood import Document
from ledger.words import ten_words

# What no batch of the record holds may be there all the same.
NO_ANIMAL_PARTS = "None on record; look for shell, bone and ivory before it goes."
NO_ROW = "not looked up: no row for this name"
NO_SOURCE = "not looked up: no source read"
NAMED = 2
NOT_CHECKED = "not re-checked against the printed source"
NO_PRINT = "no printed source"
AUTHORITY = "the Management Authority of "


def materials_paper(
    shop: Shop,
    plan: Plan,
    *,
    head: Checkpoint,
    signer: Any,
    recipient: str,
    sender: str,
) -> MaterialsPaper:
    """Return what the materials list of a shipment shows, with its checkpoint."""
    found, journey, totals = plan.found, plan.journey, plan.found.totals
    borne = asdict(imprint(shop, plan, head=head, signer=signer))
    who, moves_on = recipient_of(recipient, journey), day_of(journey.moves_on)
    return MaterialsPaper(
        number=str(plan.number),
        date=shop.today(),
        shop=shop.standing().name,
        address=sender,
        sent_from=_place(journey.legs[0]),
        recipient=who.name,
        sent_to=", ".join(
            (*who.address, way_line(who.country, journey.legs, moves_on))
        ),
        what=_what(plan),
        movement=journey.moves_on,
        purpose=purpose_words(journey.purpose),
        counts=Counts(
            ask=totals.to_ask,
            needed=totals.permits_needed,
            listed=totals.on_a_list,
            listed_mass_mg=totals.listed_wood_mg,
            species=totals.species,
            is_whole=is_weighed(plan),
        ),
        beside=(*_disputed(shop, plan), *_beside(found)),
        rows=_rows(shop, plan),
        totals=_weighed(plan),
        animal_parts=_animal_parts(plan),
        papers=tuple(_papers(shop, plan)),
        table_compiled=found.table_date.isoformat(),
        newest_source=_newest_source(plan),
        rules=(
            *(_rule(line) for line in found.lines if line.row),
            *(_rule_beside(other) for other in found.also),
        ),
        size=head.size,
        **borne,
    )


def imprint(shop: Shop, plan: Plan, *, head: Checkpoint, signer: Any) -> Imprint:
    """Return what every paper of a shipment bears beside its own facts."""
    leads = "lead" in shop.standing().roles_of(signer.subject)
    return Imprint(
        place=shop.settings.place,
        host=shop.settings.label_host,
        check=check_character(str(plan.number)),
        ten_words=ten_words(head.root),
        signer_badge=signer.badge,
        signer_name=person_name(shop, signer),
        signer_rank="lead builder" if leads else "shipping",
        whom_to_ask=_whom_to_ask(plan.found),
        holds=_holds(shop, plan),
    )


def _holds(shop: Shop, plan: Plan) -> tuple[str, ...]:
    with shop.store.reading() as session:
        return holds_in(session, plan)


def _disputed(shop: Shop, plan: Plan) -> Iterator[str]:
    """Say in a sentence which entries behind a shipment are in dispute, if any are."""
    with shop.store.reading() as session:
        entries = disputed_in(shop, session, plan)
    if entries:
        yield _sentence(words_of(entries, tongue("en")))


def _weighed(plan: Plan) -> str:
    """Say whose masses the totals are of."""
    return "net, as stated in part" if plan.goods.described else "net, as weighed"


def _beside(found: ShipmentDetermination) -> Iterator[str]:
    """Say which papers other laws need, then by which of them something is open."""
    needed = dict.fromkeys(
        f"{paper.name}, of {office_words(paper.issuer)}"
        for other in found.also
        if other.answer == NEEDED
        for paper in other.documents
    )
    if needed:
        yield f"Needed by other laws: {'; '.join(needed)}."
    opened: dict[str, list[str]] = {}
    for other in found.also:
        if other.answer == ASK:
            opened.setdefault(other.law, []).append(office_words(other.ask_whom))
    for law, offices in opened.items():
        yield f"To ask about by the law of the {law}: {'; '.join(_whole(offices))}."


def _whole(offices: Sequence[str]) -> list[str]:
    """Leave out an office that another line names with somebody beside it."""
    each = list(dict.fromkeys(offices))
    return [one for one in each if not any(o.startswith(f"{one},") for o in each)]


def _animal_parts(plan: Plan) -> tuple[str, ...]:
    """Return the shell, bone and skin that goes along, by scientific names."""
    said = []
    for each in plan.materials:
        name = read_name(each.taxon, plan.law).name
        if each.form in ANIMAL_FORMS or (name is not None and name.kind == "animal"):
            where = each.thing if each.lot.startswith(PIECE) else each.lot
            said.append(f"{each.part} ({each.taxon}, {where})")
    return tuple(dict.fromkeys(said)) or (NO_ANIMAL_PARTS,)


def _place(code: str) -> str:
    return f"{place_name(code)} ({code})"


def _what(plan: Plan) -> str:
    """Say what goes, every serial by its number, as far as the head has room."""
    moves_on, purpose = plan.journey.moves_on, purpose_words(plan.journey.purpose)
    for is_whole in (True, False):
        said = _things(plan, is_whole=is_whole)
        if not is_too_long(what(said, moves_on, purpose)):
            break
    return said


def _things(plan: Plan, *, is_whole: bool) -> str:
    parts = []
    if serials := plan.goods.serials:
        noun = "instrument" if len(serials) == 1 else "instruments"
        named = ", ".join(serials) if is_whole else _named(serials)
        parts.append(f"{len(serials)} {noun}, {named}")
    if boards := plan.goods.boards:
        noun = "piece" if len(boards) == 1 else "pieces"
        parts.append(f"{len(boards)} {noun} of wood, {_named(boards)}")
    parts += dict.fromkeys(piece.thing for piece in plan.goods.described)
    return "; ".join(parts)


def _named(codes: Sequence[str]) -> str:
    """Name two things; of more the first, for the head has no room for all."""
    if len(codes) <= NAMED:
        return ", ".join(codes)
    return f"{codes[0]} and {len(codes) - 1} more"


def _whom_to_ask(found: ShipmentDetermination) -> str:
    """Say in a sentence whom to ask, the Management Authorities first and together."""
    offices = list(dict.fromkeys(office_words(office) for office in _offices(found)))
    ends = [office for office in offices if office.startswith(AUTHORITY)]
    others = _whole([office for office in offices if office not in ends])
    places = [office.removeprefix(AUTHORITY) for office in ends]
    noun = "Authority" if len(places) == 1 else "Authorities"
    first = [f"the Management {noun} of {in_a_row(places)}"] if places else []
    return f"Ask before it moves: {'; '.join([*first, *others])}."


def _offices(found: ShipmentDetermination) -> Iterator[str]:
    """Yield whom to ask: the ends of the way, then the offices of other laws."""
    for line in found.lines:
        yield from line.ask_whom.split("; ")
    for other in found.also:
        if other.answer != "not needed":
            yield other.ask_whom


def _rows(shop: Shop, plan: Plan) -> tuple[MaterialRow, ...]:
    """Return the rows in the order to read them, one reason for all that age leaves."""
    lines = for_reading(plan.found.lines)
    why = why_aged(lines)
    return tuple(
        _row(shop, line, plan.law, why if open_for_age(line) else "") for line in lines
    )


def _row(shop: Shop, line: Line, law: Law, aged: str) -> MaterialRow:
    known = read_name(line.taxon, law).name
    return MaterialRow(
        species=line.taxon,
        trade_name=known.trade_names[0] if known and known.trade_names else "",
        part=", ".join(line.parts),
        form=line.form.replace("_", " "),
        harvest=_harvest(line),
        mass_mg=line.mass_mg,
        volume_mm3=line.volume_mm3,
        listing=_listing(line, law),
        answer=line.answer,
        words=_words(shop, line),
        aged=aged,
    )


def _harvest(line: Line) -> str:
    """Return where it grew, in codes; of several that it may be, all."""
    places = (each.origin or " or ".join(each.may_be_from) for each in line.materials)
    return ", ".join(dict.fromkeys(place or "not known" for place in places))


def _listing(line: Line, law: Law) -> str:
    """Return the listing in short; rule and date stand in full further down."""
    row = law.listings.get(line.row)
    if not line.is_listed and row is not None and row.is_listed:
        return f"elsewhere: App. {row.appendix}, {where_words(row.population)}"
    if row is None and not meant_by(line.taxon, law):
        return NO_ROW
    if row is not None and is_from_memory(row):
        return NO_SOURCE
    if not line.is_listed:
        return "no listing found"
    return line.rule.partition(", text")[0].replace("annotation ", "")


def _words(shop: Shop, line: Line) -> str:
    needed = "; ".join(
        f"{paper.name} from {office_words(paper.issuer)}" for paper in line.documents
    )
    held = _held(shop, line)
    came = _acquired(line) if line.is_listed else ""
    # What age alone leaves open is said once, in the head of those rows.
    why = "" if open_for_age(line) else _told(line.why)
    texts = (why, came, line.determination.note, needed, held)
    return " ".join(_sentence(text) for text in texts if text)


def _told(why: str) -> str:
    """Return a reason for a reader who typed no name and keeps no tables."""
    return why.replace(WRITE_IT, "").replace("from memory only", NOT_CHECKED)


def _acquired(line: Line) -> str:
    """Say when the wood of a line came in, the first and the last day of its lots."""
    days = sorted({lot.acquired.isoformat() for lot in line.lots if lot.acquired})
    if not days:
        return "Acquired on no proven day"
    told = f"Acquired {days[0]}" + (f" to {days[-1]}" if len(days) > 1 else "")
    is_open = any(lot.acquired is None for lot in line.lots)
    return f"{told}, and some on no proven day" if is_open else told


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."


def _held(shop: Shop, line: Line) -> str:
    """Say which papers are on file, and which of them do not count while in doubt."""
    with shop.store.reading() as session:
        holds = {
            hold.hold: hold
            for each in line.materials
            for hold in holds_on(
                session, boards=each.boards, lots=(each.lot,), papers=each.documents
            )
        }
        papers = [session.get_one(Document, code) for code in line.evidence]
    doubted = by_paper(holds.values())
    held = [_paper(each) for each in papers if each.code not in doubted]
    said = [
        f"HOLD {doubted[each.code]}: {_paper(each)} is in doubt, and not counted as on "
        f"file"
        for each in papers
        if each.code in doubted
    ]
    others = [hold for hold in holds if hold not in doubted.values()]
    said += [f"HOLD {hold}: this wood is in doubt" for hold in others]
    if held or not papers:
        said.insert(0, f"On file: {', '.join(held)}" if held else "No paper on file")
    return ". ".join(said)


def _paper(paper: Document) -> str:
    return f"{paper.paper} {paper.number_as_written or ''}".strip() + f" ({paper.code})"


def _papers(shop: Shop, plan: Plan) -> list[WithThisPage]:
    """Return the papers that should travel along; only what we hold is ticked."""
    wanted = [
        f"{paper.name}, from {office_words(paper.issuer)}"
        for line in plan.found.lines
        for paper in line.documents
    ]
    others = [
        f"{paper.name}, from {office_words(paper.issuer)}"
        for other in plan.found.also
        for paper in other.documents
    ]
    held = [f"owner certificate of {serial}" for serial in plan.goods.serials]
    return [
        *(WithThisPage(text, False) for text in dict.fromkeys([*wanted, *others])),
        *(WithThisPage(text, True) for text in held),
    ]


def _newest_source(plan: Plan) -> str:
    seen = [line.determination.newest_source for line in plan.found.lines]
    known = [day for day in seen if day is not None]
    return min(known).isoformat() if known else "none"


def _rule(line: Line) -> RuleRow:
    return RuleRow(
        row=line.row,
        rule=_sentence(
            f"{line.taxon}, {line.form.replace('_', ' ')}: {_told(line.why)}"
        ),
        source=_source(line.determination),
        dates=_dates(line.determination),
    )


def _rule_beside(other: Determination) -> RuleRow:
    """Return what another law answers; its office stands among those to ask."""
    return RuleRow(
        row=other.rule,
        rule=_sentence(f"{other.law}, {other.answer}: {other.why}"),
        source=_source(other),
        dates=_dates(other),
    )


def _source(said: Determination) -> str:
    """Return the sources of a row, and how far it was checked against them."""
    source = said.source.replace(MEMORY, NO_PRINT)
    if not said.confidence:
        return source
    checked = confidence_words(said.confidence)
    if is_from_memory(said):
        checked = checked.replace(CONFIDENCE[MEMORY], NOT_CHECKED)
    return f"{source}. {_sentence(checked)}"


def _dates(said: Determination) -> str:
    """Return when a row was compiled, and the newest source that was read for it."""
    dates = f"compiled {said.table_date.isoformat()}"
    if said.newest_source is None or is_from_memory(said):
        return f"{dates}, newest source none"
    return f"{dates}, newest source {said.newest_source.isoformat()}"
