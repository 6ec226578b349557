"""flitchbook person train, train-end, skill-checked, may, unqualified."""

from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads, signs

NameArgument = Annotated[str, typer.Argument(help="A badge, a name or part of one.")]
WorkArgument = Annotated[str, typer.Argument(help="The qualification, such as frets.")]
TrainerOption = Annotated[
    str, typer.Option("--trainer", help="Who teaches it: a badge or a name.")
]
UntilOption = Annotated[
    str, typer.Option(help="Until which day it counts: YYYY-MM-DD.")
]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the person."""
    signs(app)(train)
    signs(app)(train_end)
    signs(app)(skill_checked)
    signs(app)(may)
    reads(app)(unqualified)


def train(
    desk: Desk, name: NameArgument, work: WorkArgument, trainer: TrainerOption
) -> None:
    """Let a person do and learn a work under supervision.

    It is learnt from another person, who is named.
    """
    from ledger.acts import training
    from ledger.acts.signing import person_name

    person, teacher = desk.find(name), desk.find(trainer)
    entry = training.begin(desk.shop, person, work, trainer=teacher, hands=desk.hands())
    who, by = person_name(desk.shop, person), person_name(desk.shop, teacher)
    lines = [
        f"{who} learns {work} from {by}, entry {entry.index}; each step done under "
        f"supervision needs a countersign."
    ]
    show.answer(desk, lines, badge=person.badge, work=work, entry=entry.index)


def train_end(desk: Desk, name: NameArgument, work: WorkArgument) -> None:
    """Let a person no longer do a work under supervision."""
    from ledger.acts import training
    from ledger.acts.signing import person_name

    person = desk.find(name)
    entry = training.end(desk.shop, person, work, hands=desk.hands())
    who = person_name(desk.shop, person)
    lines = [f"{who} no longer learns {work}, entry {entry.index}."]
    show.answer(desk, lines, badge=person.badge, work=work, entry=entry.index)


def skill_checked(
    desk: Desk, name: NameArgument, work: WorkArgument, until: UntilOption
) -> None:
    """Record that a person's skill counts until a day.

    Their work was looked at.
    """
    from ledger.acts import training
    from ledger.acts.signing import person_name

    person = desk.find(name)
    entry = training.look_at(desk.shop, person, work, until=until, hands=desk.hands())
    who = person_name(desk.shop, person)
    lines = [
        f"{who} may sign {work} until {until}, entry {entry.index}; after it the work "
        f"is looked at again."
    ]
    show.answer(
        desk, lines, badge=person.badge, work=work, until=until, entry=entry.index
    )


def may(desk: Desk, name: NameArgument, work: WorkArgument) -> None:
    """Tell whether a person may sign a work alone today.

    Who taught it is told as well.

    That person and the lead are told, each with the own PIN; nobody else is.
    """
    from ledger.acts import training
    from ledger.acts.signing import person_name

    person = desk.find(name)
    told = training.may_alone(desk.shop, desk.key, person, work)
    who = person_name(desk.shop, person)
    lines = [
        f"{who}, {work}: {_ability_words(told)}",
        *(_taught_line(each) for each in told.taught),
        _count_line(told),
    ]
    show.answer(desk, lines, badge=person.badge, work=work, **_data(told))


def unqualified(desk: Desk) -> None:
    """List the signatures that no qualification covers.

    It is that of their day which counts, and it is told why.
    """
    from cli.build_hands import hand_data, hand_words
    from ledger.acts.hands import uncovered

    found = uncovered(desk.shop)
    lines = [f"{hand.serial} {hand_words(hand)}" for hand in found] or [
        "Every signature is covered by a qualification or a countersign."
    ]
    show.answer(desk, lines, signatures=[hand_data(hand) for hand in found])


def _ability_words(told: Any) -> str:
    ability = told.ability
    by = f"since {told.since}, entry {ability.by}"
    return {
        "lead": f"may sign it alone, as a lead {by}",
        "qualified": f"may sign it alone {by}",
        "supervised": f"may do it under supervision only {by}; each step needs a "
        f"countersign",
        "lapsed": f"may not sign it: it counted until {ability.until}, and was not "
        f"looked at again",
        "none": "may not sign it",
    }[ability.how]


def _taught_line(taught: Any) -> str:
    until = f" to {taught.until}, entry {taught.ended_idx}" if taught.until else ""
    return (
        f"  taught by {taught.trainer} from {taught.since}, entry {taught.idx}{until}"
    )


def _count_line(told: Any) -> str:
    number, seen = len(told.supervised), len(told.countersigned)
    entries = ", ".join(str(index) for index in told.supervised)
    where = f" (entries {entries})" if entries else ""
    return (
        f"  done under supervision: {number}, of them countersigned: {seen}{where}; "
        f"done alone: {len(told.alone)}"
    )


def _data(told: Any) -> dict[str, Any]:
    return {
        "alone": told.ability.is_alone,
        "how": told.ability.how,
        "since": told.since,
        "until": told.ability.until,
        "entry": told.ability.by,
        "taught": [
            {
                "trainer": each.trainer,
                "since": each.since,
                "until": each.until,
                "entry": each.idx,
                "ended_by": each.ended_idx,
            }
            for each in told.taught
        ],
        "supervised": list(told.supervised),
        "countersigned": list(told.countersigned),
        "done_alone": list(told.alone),
    }
