"""The facts of a lot, a hold and a place brought to their papers in the rack."""

from collections import Counter
from collections.abc import Iterator, Sequence

from sqlmodel import Session, col

from cli.lot_ready import codes_in_short
from labels.hold_tag import HoldTag, UnderHold
from labels.lot_card import HeldPaper, LotCard
from labels.marks import State
from labels.rack_card import RackCard, Shelved
from labels.tongue import Tongue, term, tongue
from ledger.acts.evidence import evidence_of
from ledger.acts.holds import doubted_words, open_hold
from ledger.acts.measuring import species_of
from ledger.acts.resting import joined, readiness_of
from ledger.acts.shop import Shop
from ledger.acts.signing import person_name
from ledger.acts.stock import Stocked, stock
from ledger.acts.suppliers import SUPPLIER_NAME
from ledger.acts.touched import report
from ledger.codes import check_character
from ledger.craft.seasoning import Verdict
from ledger.errors import NotFoundError
from ledger.ids import BoardId, LotId
from ledger.log.authority import LEAD
from ledger.log.entry import at_text
from ledger.scales import in_a_row
from ledger.trade.movement import one_of_places
from ledger.views.boards import Board, PlainBoard, boards_of, plain_boards, set_of
from ledger.views.doubt import reached, source_of
from ledger.views.holds import Hold, open_holds
from ledger.views.people import Person, people
from ledger.views.wood import UNKNOWN, Lot, Supplier, documents_of

LIFTING = "hold.lifted"
PLACES_NAMED = 8
# How what is in doubt begins, and what is said of it whole.
NOUNS = (term("document"), term("lot"), term("board"), term("batch"), term("gauge"))
WHOLE = (term("all wood of one sawyer"), term("a person's work"))
EVIDENCE = {
    None: term("old stock"),
    "none": term("old stock, nothing shows its origin"),
    "invoice": term("old stock, shown by an invoice"),
    "diary": term("old stock, shown by a diary"),
    "witness": term("old stock, by somebody’s word"),
}
# What is to be done where a reason of the rule has such words, and else.
WANTED = {
    "moisture ": term("moisture is off"),
    "weighings": term("weigh again"),
    ", outside ": term("air out of bounds"),
    "room's air": term("measure the air"),
}
ASK = term("ask the ledger")


def lot_card(shop: Shop, code: LotId) -> LotCard:
    """Return what the card of a lot says; NotFoundError where it never came in."""
    name, language = str(code), shop.settings.language
    say = tongue(language)
    missing = sum(len(wood.missing) for wood in evidence_of(shop, code))
    with shop.store.reading() as session:
        lot = session.get_one(Lot, name)
        here = [
            each
            for each in stock(session, today=shop.today())
            if str(BoardId.parse(each.code).lot) == name
        ]
        boards = boards_of(session, name)
        numbered = {BoardId.parse(board.code).number for board in boards}
        papers = documents_of(session, name)
        holds, free = _holds_on(session, name, here)
        earliest, preferred = _days(free, today=shop.today())
        return LotCard(
            shop=shop.standing().name,
            host=shop.settings.label_host,
            code=name,
            check=check_character(name),
            species=lot.species,
            trade_name=lot.trade_name or "",
            origin_unknown=lot.species == UNKNOWN,
            sawyer=_sawyer(shop, session, lot, say),
            received=lot.received_on,
            count=_count(lot, len(numbered), len(here), say),
            grades=_grades(here, say),
            grown=_grown(lot, say),
            papers=tuple(
                HeldPaper(
                    p.code,
                    _paper(p.paper, p.number_as_written),
                    next((h.hold for h in holds if _is_on(h, p.code)), ""),
                )
                for p in papers
            ),
            missing=missing,
            earliest=earliest,
            preferred=preferred,
            rest=_rest(here, len(here) - len(free), say, has_day=bool(earliest)),
            wanted=wanted([each.verdict for each in free], say, today=shop.today()),
            holds=tuple(hold.hold for hold in holds),
            printed_at=_printed_at(shop),
            language=language,
        )


def hold_tag(shop: Shop, number: str) -> HoldTag:
    """Return what the tag of a hold says; a hold that was lifted needs none."""
    language = shop.settings.language
    say = tongue(language)
    with shop.store.reading() as session:
        hold = open_hold(session, number)
        found = report(session, hold)
        who, names = _lifting(shop, session, say)
        return HoldTag(
            shop=shop.standing().name,
            host=shop.settings.label_host,
            code=number,
            check=check_character(number),
            doubted=doubted(session, hold, say),
            since=(hold.since or "")[:10],
            placed=hold.at[:10],
            entry=hold.idx,
            who=who,
            lifted_by=names,
            rack=tuple(_under(session, found.rack, say)),
            count=len(found.rack),
            printed_at=_printed_at(shop),
            language=language,
        )


def rack_card(shop: Shop, place: str) -> RackCard:
    """Return what the card of a place says, written as whoever put wood there did.

    Raises NotFoundError where no wood lies, and names places where some does.
    """
    language = shop.settings.language
    with shop.store.reading() as session:
        boards = plain_boards(session, *_there())
        wanted = " ".join(place.split()).casefold()
        here = [b for b in boards if b.place and b.place.casefold() == wanted]
        if not here:
            raise NotFoundError(_no_place(place, boards))
        return RackCard(
            shop=shop.standing().name,
            place=str(here[0].place),
            rows=tuple(_shelved(session, here, tongue(language), today=shop.today())),
            printed_at=_printed_at(shop),
            language=language,
        )


def _printed_at(shop: Shop) -> str:
    return f"{at_text(shop.now())[:16].replace('T', ' ')} UTC"


def _sawyer(shop: Shop, session: Session, lot: Lot, say: Tongue) -> str:
    """Return from whom a lot came, as far as it may be shown."""
    sawyer = session.get(Supplier, lot.supplier) if lot.supplier else None
    if sawyer is None:
        return say(EVIDENCE[lot.evidence])
    if sawyer.shown == "by-name":
        opening = shop.vault.get(sawyer.subject, SUPPLIER_NAME)
        if opening:
            return opening.value
    region = sawyer.region or sawyer.country
    is_told = sawyer.shown != "known-to-maker" and region
    of_region = say("a sawyer of {region}").format(region=region)
    return of_region if is_told else say("known to the maker")


def _count(lot: Lot, numbered: int, here: int, say: Tongue) -> str:
    """Say how many pieces came in, are numbered, and lie in the rack."""
    came = say("{number} came in, none numbered")
    if numbered:
        came = say("{number} came in, {numbered} numbered, {here} in the rack")
    return came.format(number=lot.boards, numbered=numbered, here=here or say("none"))


def _grades(here: Sequence[Stocked], say: Tongue) -> str:
    """Return how many pieces have which grade of the house: AA 5, not graded 3."""
    found = Counter(each.grade or "" for each in here)
    graded = [f"{grade} {found[grade]}" for grade in sorted(found) if grade]
    rest = say("not graded {number}").format(number=found[""])
    return ", ".join([*graded, *([rest] if found[""] else [])]) or say("none")


def _grown(lot: Lot, say: Tongue) -> str:
    if lot.harvested_in:
        return one_of_places([lot.harvested_in])
    if lot.may_be_from:
        either = say("or")
        codes = f" {either} ".join(lot.may_be_from.split())
        return say("{countries}, nobody knows which").format(countries=codes)
    return say("a country that nobody said")


def _paper(paper: str, number: str | None) -> str:
    return f"{paper} {number}" if number else paper


def _days(here: Sequence[Stocked], *, today: str) -> tuple[str, str]:
    """Return the earliest day of the last piece, and the better one if it is later.

    Where it is here already and the piece is not ready, no day is promised.
    """
    if not here:
        return "", ""
    rest = joined([each.verdict for each in here])
    earliest, preferred = str(rest.earliest), str(rest.preferred)
    told = earliest if rest or earliest > today else ""
    return told, preferred if preferred > earliest else ""


def wanted(verdicts: Sequence[Verdict], say: Tongue, *, today: str) -> str:
    """Say what is to be done first to wood that days alone make no readier.

    Nothing where a piece is to rest longer still, or all of them are ready.
    """
    rest = joined(verdicts) if verdicts else Verdict()
    if rest or str(rest.earliest) > today:
        return ""
    found = (
        words
        for reason in rest.reasons
        for part, words in WANTED.items()
        if part in reason
    )
    return say(next(found, ASK))


def _holds_on(
    session: Session, lot: str, here: Sequence[Stocked]
) -> tuple[list[Hold], list[Stocked]]:
    """Return the holds on a lot or on any piece of it, and the pieces that are free."""
    found, under = [], set[str]()
    for hold in open_holds(session):
        source = source_of(session, hold)
        wood = reached(session, source)
        pieces = {each.code for each in here if any(b in wood for b in each.boards)}
        if pieces or lot in source.lots:
            found.append(hold)
            under |= pieces
    return found, [each for each in here if each.code not in under]


def _is_on(hold: Hold, document: str) -> bool:
    return (hold.on, hold.code) == ("document", document)


def _rest(here: Sequence[Stocked], under: int, say: Tongue, *, has_day: bool) -> str:
    """Say how many pieces are ready or on hold, and that days are those of the last."""
    ready = sum(bool(each.verdict) for each in here)
    if not here:
        return say("no piece of it is in the rack")
    if under:
        some = say("{number} of {whole} on hold when printed: use none of those")
        return some.format(number=under, whole=len(here))
    if ready == len(here):
        every = say("all {number} ready when printed").format(number=ready)
        return every if ready > 1 else say("ready when printed")
    some = say("{number} of {whole} ready when printed")
    if has_day:
        some = say("{number} of {whole} ready when printed; days of the last one")
    return some.format(number=ready or say("none"), whole=len(here))


def doubted(session: Session, hold: Hold, say: Tongue) -> str:
    """Say what a hold is on, without a name; a paper is called as it was filed."""
    person = session.get(Person, hold.code) if hold.on == "person" else None
    if person:
        return say("what badge {badge} signed").format(badge=person.badge)
    words = doubted_words(session, hold)
    noun, _, rest = words.partition(" ")
    return say(words) if words in WHOLE else f"{say(noun)} {rest}"


def may_lift(shop: Shop, session: Session) -> list[Person]:
    """Return who may lift a hold by the rules of the house as they are now."""
    standing, size = shop.standing(), shop.store.head().size
    roles, works = _lifters(shop)
    return [
        person
        for person in people(session)
        if standing.person_key(person.subject, size)
        and (
            roles & standing.roles_of(person.subject)
            or works & standing.qualifications_of(person.subject)
        )
    ]


def _lifters(shop: Shop) -> tuple[frozenset[str], frozenset[str]]:
    """Return the roles and the qualifications of which one lets somebody lift."""
    rules = shop.standing().rules
    rule = next((rule for rule in rules if rule.names(LIFTING)), None)
    if rule is None:
        return frozenset({LEAD}), frozenset()
    return rule.roles, rule.qualifications


def _lifting(shop: Shop, session: Session, say: Tongue) -> tuple[str, tuple[str, ...]]:
    """Return what lets somebody lift a hold, and who has it now, by name or badge."""
    roles, works = _lifters(shop)
    names = tuple(person_name(shop, person) for person in may_lift(shop, session))
    return say("a lead") if roles == {LEAD} and not works else say("one of"), names


def _under(session: Session, rack: Sequence[str], say: Tongue) -> Iterator[UnderHold]:
    """Yield the boards under a hold, lot by lot, both halves of a set as one."""
    halves = Counter(set_of(code) for code in rack)
    by_lot: dict[str, dict[str, str]] = {}
    for code in rack:
        name = set_of(code) if halves[set_of(code)] > 1 else code
        lot = str(BoardId.parse(code).lot)
        by_lot.setdefault(lot, {})[name] = species_of(session, code)
    either = say("or")
    for codes in by_lot.values():
        woods = dict.fromkeys(codes.values())
        yield UnderHold(codes_in_short(list(codes)), f" {either} ".join(woods))


def _there() -> list[object]:
    """Return what is so of a board that lies somewhere: it is one still."""
    ends = ("became_idx", "struck_idx", "returned_idx", "consumed_idx", "off_idx")
    return [col(getattr(Board, name)).is_(None) for name in ends]


def _no_place(place: str, boards: Sequence[PlainBoard]) -> str:
    known = sorted({board.place for board in boards if board.place})
    some = in_a_row(known[:PLACES_NAMED]) if known else "no place yet"
    more = f" and {len(known) - PLACES_NAMED} more" if len(known) > PLACES_NAMED else ""
    return (
        f"no wood lies in {place!r}: there is wood in {some}{more}; put some there "
        f"with flitchbook board move"
    )


def _shelved(
    session: Session, here: Sequence[PlainBoard], say: Tongue, *, today: str
) -> Iterator[Shelved]:
    """Yield what lies in a place by code, the halves of a set in one line."""
    ready, held = readiness_of(session, here, today=today), _held(session)
    sets: dict[str, list[PlainBoard]] = {}
    for board in here:
        sets.setdefault(set_of(board.code), []).append(board)
    for name in sorted(sets):
        halves = sets[name]
        hold = next((held[b.code] for b in halves if b.code in held), "")
        verdict = joined([ready[board.code] for board in halves])
        when, edge = _stands(halves, verdict, hold, say, today=today)
        yield Shelved(
            code=name if len(halves) > 1 else halves[0].code,
            species=species_of(session, halves[0].code),
            part=halves[0].part or halves[0].meant_for,
            when=when,
            edge=edge,
        )


def _stands(
    halves: Sequence[PlainBoard],
    verdict: Verdict,
    hold: str,
    say: Tongue,
    *,
    today: str,
) -> tuple[str, State]:
    """Return how wood stands, in a word or a day, and the edge of that."""
    if hold:
        return f"{say('HOLD')} {hold}", "sawn"
    if any(board.rejected_idx is not None for board in halves):
        return say("REJECTED"), "sawn"
    serial = next((board.serial for board in halves if board.serial), "")
    if serial:
        return say("in {serial}").format(serial=serial), "solid"
    if verdict:
        return say("ready"), "solid"
    return wanted([verdict], say, today=today) or str(verdict.earliest), "hollow"


def _held(session: Session) -> dict[str, str]:
    """Return by board the first open hold that covers it."""
    found: dict[str, str] = {}
    for hold in open_holds(session):
        for code in reached(session, source_of(session, hold)):
            found.setdefault(code, hold.hold)
    return found
