"""Instruments: models set down, builds begun, boards allotted, steps signed."""

from collections.abc import Sequence

from sqlmodel import Session

from ledger.acts.boards import boards_there, require_whole
from ledger.acts.measuring import species_in
from ledger.acts.names import checked_words
from ledger.acts.policies import house_rules
from ledger.acts.rejects import require_kept
from ledger.acts.resting import readiness
from ledger.acts.shop import Hands, Shop, Turn
from ledger.craft.seasoning import Verdict, ready_words
from ledger.errors import NotFoundError, RefusedError
from ledger.events import (
    BoardAllotted,
    BuildBegun,
    ModelDefined,
    StepSigned,
    TagPrinted,
)
from ledger.events.build import Meaning, Measure, PartWeighed, Run
from ledger.events.route import PlannedPart, PlannedStep
from ledger.ids import BodyId, NeckId
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.quantities import grams
from ledger.serials import read_serial, serial_for
from ledger.views.boards import Board, boards_in, set_of
from ledger.views.builds import Build, newest_body, printed_tags, signed_steps
from ledger.views.certificates import certificates_of
from ledger.views.corrections import override_for
from ledger.views.models import newest_model, parts_of, steps_of
from ledger.views.people import people_by_key, subject_of_key
from ledger.views.wood import UNKNOWN

INSPECT = "inspect"
LEAD = "lead"


class BoardTakenError(RefusedError):
    """A board can be allotted to one instrument at a time."""

    def __init__(self, board: str, serial: str, part: str, index: int) -> None:
        super().__init__(
            f"board {board} is already allotted to {serial} as its {part}, by entry "
            f"{index}; nothing was used up: choose another board"
        )
        self.board = board
        self.serial = serial


class BoardRestingError(RefusedError):
    """A board that has not rested enough goes into nothing."""

    def __init__(self, board: str, serial: str, verdict: Verdict) -> None:
        super().__init__(
            f"board {board} is not ready: {ready_words(verdict)}; wait, choose another "
            f"board, or let a lead say why it may be used in {serial} with flitchbook "
            f"board override"
        )
        self.board = board
        self.verdict = verdict


def define_model(
    shop: Shop,
    *,
    name: str,
    instrument: str,
    parts: Sequence[PlannedPart],
    steps: Sequence[PlannedStep],
    hands: Hands,
) -> int:
    """Set down a model, or its next version; return the version.

    Builds that were begun stay with the version they were begun with.
    """
    checked_words("model's name", name)
    checked_words("instrument", instrument)
    _require_distinct("part", [part.part for part in parts])
    _require_distinct("step", [step.step for step in steps])
    with shop.turn() as turn:
        newest = newest_model(turn.session, name)
        version = newest.version + 1 if newest else 1
        event = ModelDefined(
            model=name,
            version=version,
            instrument=instrument,
            parts=tuple(parts),
            steps=tuple(steps),
        )
        turn.say(event, hands)
    return version


def begin(shop: Shop, *, model: str, run: Run | None, hands: Hands) -> str:
    """Begin an instrument: its serial, body and neck number are taken for ever."""
    if run is not None:
        checked_words("name of a run", run.name)
    with shop.turn() as turn:
        newest = newest_model(turn.session, model)
        if newest is None:
            raise NotFoundError(
                f"there is no model {model}: set it down with flitchbook model define"
            )
        year = int(shop.today()[:4])
        number = _next_number(turn, year)
        event = BuildBegun(
            serial=str(serial_for(shop.settings.pattern, year=year, number=number)),
            model=newest.name,
            version=newest.version,
            body=str(BodyId(year=year % 100, number=number)),
            neck=str(NeckId(year=year % 100, number=number)),
            run=run,
        )
        if turn.session.get(Build, event.serial) is not None:
            raise RefusedError(
                f"serial {event.serial} was taken before: the pattern in shop.toml "
                f"needs the year in it"
            )
        turn.say(event, hands)
    return event.serial


def allot(shop: Shop, *, serial: str, part: str, code: str, hands: Hands) -> list[str]:
    """Allot a board, or both halves of a set, to one part of an instrument.

    Raises BoardTakenError where the board is allotted already, BoardRestingError where
    it is not ready and no lead has said otherwise; nothing is used up then.
    """
    with shop.turn() as turn:
        build = require_build(turn, serial)
        _require_open(turn, serial)
        boards = boards_there(turn.session, code)
        _require_part(turn, build, part)
        for board in boards:
            if board.serial is not None:
                raise BoardTakenError(
                    board.code,
                    board.serial,
                    str(board.part),
                    int(board.allotted_idx or 0),
                )
            require_whole(board)
            require_kept(turn.session, board)
            _require_known(turn.session, board)
            _require_rested(turn, board, serial)
        _require_one_set(turn, serial, part, boards)
        codes = [board.code for board in boards]
        for board_code in codes:
            turn.say(BoardAllotted(board=board_code, serial=serial, part=part), hands)
    return codes


def sign(
    shop: Shop,
    *,
    serial: str,
    step: str,
    meaning: Meaning,
    measures: Sequence[Measure],
    weighed: Sequence[PartWeighed],
    hands: Hands,
) -> int:
    """Put a key to a step: did it, inspected it or approved it; return the index.

    Whoever did a step needs the step's qualification, whoever inspects it the
    inspector's and another pair of hands, and only a lead approves.
    """
    with shop.turn() as turn:
        build = require_build(turn, serial)
        _require_open(turn, serial)
        steps = {s.step: s for s in steps_of(turn.session, build.model, build.version)}
        if step not in steps:
            raise NotFoundError(
                f"{build.model} has no step {step!r}: it has {', '.join(steps)}"
            )
        for part in weighed:
            _require_part(turn, build, part.part)
        _require_weight([*weighed, *measures])
        _require_of_its_wood(turn, serial, weighed)
        _require_once("weighed", [part.part for part in weighed])
        _require_once("measured", [measure.what for measure in measures])
        _require_unsigned(turn, serial, step, meaning)
        _require_ability(turn, serial, step, steps[step].qualification, meaning, hands)
        event = StepSigned(
            serial=serial,
            step=step,
            meaning=meaning,
            measures=tuple(measures),
            weighed=tuple(weighed),
        )
        return turn.say(event, hands).index


def require_build(turn: Turn, serial: str) -> Build:
    """Return an instrument, or say that it was never begun."""
    return find_build(turn.session, serial)


def find_build(session: Session, serial: str) -> Build:
    """Return an instrument, or say that it was never begun."""
    build = session.get(Build, serial)
    if build is None:
        raise NotFoundError(f"there is no instrument {serial}: look at the tag again")
    return build


def tag_printed(
    shop: Shop, *, serial: str, note: str, sha256_hex: str, hands: Hands
) -> int:
    """Record that a build tag was drawn, with its checkpoint; return which print."""
    head = parse_checkpoint(parse_note(note))
    with shop.turn() as turn:
        require_build(turn, serial)
        number = len(printed_tags(turn.session, serial)) + 1
        event = TagPrinted(
            serial=serial,
            number=number,
            size=head.size,
            root=head.root.hex(),
            sha256=sha256_hex,
        )
        turn.say(event, hands)
    return number


def _next_number(turn: Turn, year: int) -> int:
    """Return the next number of a year, after those given before this log began."""
    newest = newest_body(turn.session, f"B{year % 100:02d}-")
    number = BodyId.parse(newest).number + 1 if newest else 1
    settings = turn.shop.settings
    if settings.first_serial:
        first = read_serial(settings.first_serial, settings.pattern)
        if first.year in (None, year, year % 100):
            number = max(number, first.number)
    return number


def _require_open(turn: Turn, serial: str) -> None:
    issued = certificates_of(turn.session, serial)
    if issued:
        raise RefusedError(
            f"{serial} has its certificate {issued[-1].number}: its build is closed"
        )


def _require_part(turn: Turn, build: Build, part: str) -> None:
    parts = parts_of(turn.session, build.model, build.version)
    if part not in parts:
        raise NotFoundError(
            f"{build.model} has no part {part!r}: it has {', '.join(parts)}"
        )


def _require_one_set(
    turn: Turn, serial: str, part: str, boards: Sequence[Board]
) -> None:
    stem = set_of(boards[0].code)
    for board in boards_in(turn.session, serial):
        if board.part == part and set_of(board.code) != stem:
            raise RefusedError(
                f"the {part} of {serial} is board {board.code} already; a part is made "
                f"of one board or set, so give the other one a part of its own"
            )


def _require_known(session: Session, board: Board) -> None:
    """See that wood has a name: nobody can say of other wood what papers it needs."""
    if UNKNOWN in species_in(session, board.code):
        raise RefusedError(
            f"nobody knows of which species board {board.code} is: it is fit for jigs "
            f"only, so choose another board"
        )


def _require_rested(turn: Turn, board: Board, serial: str) -> None:
    verdict = readiness(turn.session, board, today=turn.shop.today())
    if not verdict and override_for(turn.session, board.code, serial) is None:
        raise BoardRestingError(board.code, serial, verdict)


def _require_weight(scales: Sequence[PartWeighed | Measure]) -> None:
    for read in scales:
        if read.mass_mg is not None and read.mass_mg <= 0:
            raise RefusedError(f"{read.mass_mg} mg is no mass: weigh it again")


def _require_of_its_wood(
    turn: Turn, serial: str, weighed: Sequence[PartWeighed]
) -> None:
    """Refuse a part that weighs more than the boards it is made of.

    Boards that nobody weighed say nothing against it.
    """
    within_ppm = house_rules(turn.session).balance_ppm
    held = boards_in(turn.session, serial)
    for part in weighed:
        wood = [board for board in held if board.part == part.part]
        masses = [board.mass_mg for board in wood if board.mass_mg is not None]
        if not wood or len(masses) < len(wood):
            continue
        if part.mass_mg * 1_000_000 > sum(masses) * (1_000_000 + within_ppm):
            codes = " and ".join(board.code for board in wood)
            raise RefusedError(
                f"{part.part} of {serial} would weigh {grams(part.mass_mg)}, and its "
                f"wood {codes} weighs {grams(sum(masses))}: weigh the part again, or "
                f"the wood where its mass was wrong"
            )


def _require_unsigned(turn: Turn, serial: str, step: str, meaning: Meaning) -> None:
    for signed in signed_steps(turn.session, serial):
        if (signed.step, signed.meaning) == (step, meaning):
            badge = _badge(turn, signed.key)
            raise RefusedError(
                f"step {step} of {serial} was signed ({meaning}) by {badge} in entry "
                f"{signed.idx} already: nothing more was recorded"
            )


def _require_ability(
    turn: Turn,
    serial: str,
    step: str,
    qualification: str,
    meaning: Meaning,
    hands: Hands,
) -> None:
    subject = subject_of_key(turn.session, hands.by.id)
    roles = turn.standing.roles_of(subject)
    held = turn.standing.qualifications_of(subject)
    wanted = {"did": qualification, "inspected": INSPECT, "approved": LEAD}[meaning]
    if LEAD not in roles and wanted not in held:
        raise RefusedError(
            f"step {step} of {serial} ({meaning}) needs the qualification {wanted}, "
            f"which {_badge(turn, hands.by.id)} does not hold: ask somebody who does"
        )
    if meaning != "inspected":
        return
    doers = {
        subject_of_key(turn.session, signed.key)
        for signed in signed_steps(turn.session, serial)
        if (signed.step, signed.meaning) == (step, "did")
    }
    if not doers:
        raise RefusedError(f"nobody has signed step {step} of {serial} as done yet")
    if subject in doers:
        raise RefusedError(
            f"whoever did step {step} of {serial} does not inspect it: ask another"
        )


def _badge(turn: Turn, key: str) -> str:
    holder = people_by_key(turn.session, key)
    return f"badge {holder[0].badge}" if holder else f"key {key}"


def _require_once(how: str, names: Sequence[str]) -> None:
    twice = next((n for n in names if names.count(n) > 1), None)
    if twice is not None:
        raise RefusedError(f"{twice!r} is {how} twice: give the right value only")


def _require_distinct(what: str, names: Sequence[str]) -> None:
    if not names:
        raise RefusedError(f"a model has at least one {what}: give --{what}")
    twice = next((n for n in names if names.count(n) > 1), None)
    if twice is not None:
        raise RefusedError(f"the {what} {twice!r} is named twice")
    if any(not n.strip() for n in names):
        raise RefusedError(f"a {what} has a name")
    for name in names:
        checked_words(f"name of a {what}", name)
