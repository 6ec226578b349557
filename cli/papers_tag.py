"""The facts of a build brought to its tag."""

from collections import Counter
from collections.abc import Mapping, Sequence

from sqlmodel import Session

from labels.tag_facts import BuildTag, MaySign, NextStep, Signed, TagStep, Wood
from labels.tongue import Tongue, term, tongue
from labels.words import ten_words
from ledger.acts.builds import find_build
from ledger.acts.heads import sign_head
from ledger.acts.measuring import species_of
from ledger.acts.roads import Road, road_of
from ledger.acts.shop import Shop
from ledger.acts.signing import person_name
from ledger.acts.whose import badge_of
from ledger.craft.hazards import dust_hazard
from ledger.craft.route import DONE, next_steps, stands
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.log.entry import at_text
from ledger.views.boards import boards_in, set_of
from ledger.views.builds import AnyStep, Build, printed_tags
from ledger.views.family import lots_of
from ledger.views.models import Model, ModelStep, steps_of
from ledger.views.people import people
from ledger.views.wood import Lot

FOLLOWING = 3
# What the plate says of a build: something is to be signed, or all of it is.
OPEN, READY = term("OPEN"), term("READY")


def build_tag(shop: Shop, serial: str) -> BuildTag:
    """Return what the tag of an instrument shows now, with a fresh checkpoint."""
    with shop.store.reading() as session:
        # First, so that no head is signed for a tag that is never drawn.
        find_build(session, serial)
    note = sign_head(shop)
    head = parse_checkpoint(parse_note(note))
    standing, language = shop.standing(), shop.settings.language
    say = tongue(language)
    with shop.store.reading() as session:
        build = find_build(session, serial)
        model = session.get_one(Model, (build.model, build.version))
        route = steps_of(session, build.model, build.version)
        road = road_of(session, build)
        done = {s.step: s for s in road.rows if s.meaning == "did"}
        waiting = _waiting(road, route, shop.today())
        return BuildTag(
            shop=standing.name,
            model=build.model,
            kind=model.instrument,
            run=_run(build),
            serial=serial,
            host=shop.settings.label_host,
            body=build.body,
            neck=build.neck,
            next_step=NextStep(waiting[0][0], waiting[0][1].step) if waiting else None,
            state=OPEN if waiting else READY,
            edge="hollow" if waiting else "solid",
            may_sign=_may_sign(shop, session, waiting[0][1], say) if waiting else (),
            then=tuple(f"{n} {say(s.step)}" for n, s in waiting[1 : 1 + FOLLOWING]),
            wood=_woods(session, serial),
            hazards=_hazards(session, serial),
            printed_at=at_text(shop.now())[:16].replace("T", " "),
            zone="UTC",
            steps=tuple(_step(session, n, s, done) for n, s in enumerate(route, 1)),
            checkpoint_note=note,
            root=head.root,
            ten_words=ten_words(head.root),
            size=head.size,
            print_number=len(printed_tags(session, serial)) + 1,
            language=language,
        )


def _waiting(
    road: Road, route: Sequence[ModelStep], today: str
) -> list[tuple[int, ModelStep]]:
    """Return the steps that are not done, by number: first what can be done today."""
    so_far = stands(road.steps, road.signed)
    ready, _ = next_steps(road.steps, road.signed, today=today)
    left = [(n, s) for n, s in enumerate(route, 1) if so_far[s.step] != DONE]
    return sorted(left, key=lambda step: (step[1].step not in ready[:1], step[0]))


def _run(build: Build) -> str:
    if build.run is None:
        return ""
    return f"{build.run}, {build.run_number} of {build.run_pieces}"


def _woods(session: Session, serial: str) -> tuple[Wood, ...]:
    """Return the boards of an instrument, both halves of a set under its code."""
    boards = boards_in(session, serial)
    halves = Counter(set_of(board.code) for board in boards)
    woods = (
        Wood(
            str(board.part),
            species_of(session, board.code),
            set_of(board.code) if halves[set_of(board.code)] > 1 else board.code,
        )
        for board in boards
    )
    return tuple(dict.fromkeys(woods))


def _hazards(session: Session, serial: str) -> tuple[str, ...]:
    """Return the species whose dust is named, of glued boards every one."""
    codes = [board.code for board in boards_in(session, serial)]
    lots = dict.fromkeys(lot for code in codes for lot in lots_of(session, code))
    found = dict.fromkeys(session.get_one(Lot, lot).species for lot in lots)
    return tuple(species for species in found if dust_hazard(species))


def _may_sign(
    shop: Shop, session: Session, step: ModelStep, say: Tongue
) -> tuple[MaySign, ...]:
    """Return who holds the step's qualification now; the leads where nobody does."""
    standing, size = shop.standing(), shop.store.head().size
    here = [p for p in people(session) if standing.person_key(p.subject, size)]
    able = [
        person
        for person in here
        if step.qualification in standing.qualifications_of(person.subject)
    ]
    leads = [p for p in here if "lead" in standing.roles_of(p.subject)]
    condition = "" if able else say("as lead")
    return tuple(
        MaySign(person.badge, person_name(shop, person), condition)
        for person in able or leads
    )


def _step(
    session: Session, number: int, step: ModelStep, done: Mapping[str, AnyStep]
) -> TagStep:
    signed = done.get(step.step)
    if signed is None:
        return TagStep(number, step.step)
    badge = badge_of(session, signed.key) or "?"
    return TagStep(number, step.step, signed=Signed(signed.at[5:10], badge))
