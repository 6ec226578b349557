"""flitchbook person: enrol, qualify, appoint, retire, new keys, erase."""

from typing import Annotated, Any

import typer

from cli import (
    person_agreement,
    person_compromised,
    person_entries,
    person_training,
    record_copies,
    show,
)
from cli.context import Desk, signs

app = typer.Typer(
    name="person", help="The people of the shop and their keys.", no_args_is_help=True
)
NameArgument = Annotated[str, typer.Argument(help="A badge, a name or part of one.")]
NewNameArgument = Annotated[str, typer.Argument(help="The person's full name.")]
BadgeOption = Annotated[str, typer.Option(help="The new badge, such as 02.")]
QualifyOption = Annotated[
    list[str], typer.Option(help="Work the person may sign; may be repeated.")
]
QualifiedByOption = Annotated[
    str, typer.Option(help="The lead who grants the qualifications, if not --by.")
]
WorkArgument = Annotated[list[str], typer.Argument(help="Such as receive or plates.")]
RoleArgument = Annotated[str, typer.Argument(help="lead or key-administrator.")]
TrainingOption = Annotated[
    bool, typer.Option("--training", help="Who learns what from whom; asks for a PIN.")
]
CardByOption = Annotated[
    str, typer.Option(help="A lead who shares the card key with a new lead.")
]


@signs(app)
def enrol(
    desk: Desk,
    name: NewNameArgument,
    badge: BadgeOption,
    qualify: QualifyOption = [],  # noqa: B006 - typer reads the default
    qualified_by: QualifiedByOption = "",
) -> None:
    """Enrol a person: a badge, and a key under their PIN."""
    from ledger.acts import people

    people.require_may_enrol(desk.shop, name=name, badge=badge, qualifications=qualify)
    granting = None
    if qualify:
        granting = desk.key
        if qualified_by:
            granting = desk.key_of(desk.find(qualified_by))
    hands = desk.hands()
    entry = people.enrol(
        desk.shop,
        name=name,
        badge=badge,
        pin=desk.new_pin(badge),
        qualifications=qualify,
        hands=hands,
        qualified_by=granting,
    )
    lines = [f"{name} is enrolled with badge {badge}."]
    show.answer(desk, lines, badge=badge, entry=entry.index)


@signs(app)
def qualify(desk: Desk, name: NameArgument, work: WorkArgument) -> None:
    """Let a person sign kinds of work from now on."""
    from ledger.acts import people
    from ledger.acts.signing import person_name

    person = desk.find(name)
    entries = people.qualify(desk.shop, person, work, desk.hands())
    lines = [f"{person_name(desk.shop, person)} may sign {', '.join(work)}."]
    show.answer(desk, lines, badge=person.badge, entries=[e.index for e in entries])


@signs(app)
def appoint(
    desk: Desk, name: NameArgument, role: RoleArgument, card_by: CardByOption = ""
) -> None:
    """Give a person a role; the roots approve.

    A new lead needs the card key too: --card-by names the lead who shares it.
    """
    from ledger.acts import people
    from ledger.acts.signing import card_key, person_name

    person = desk.find(name)
    sharing = None
    if card_by:
        lead = desk.find(card_by)
        sharing = people.Sharing(
            lead=desk.key_of(lead),
            card=card_key(desk.shop, lead, desk.pin_of(lead)),
            to=desk.key_of(person),
            pin=desk.pin_of(person),
        )
    entry = people.appoint(desk.shop, person, role, desk.hands(), sharing=sharing)
    lines = [f"{person_name(desk.shop, person)} is {role}, by entry {entry.index}."]
    show.answer(desk, lines, badge=person.badge, role=role, entry=entry.index)


@signs(app)
def share_card(desk: Desk, name: NameArgument) -> None:
    """Share card key and office's key with another lead."""
    from ledger.acts import people
    from ledger.acts.signing import person_name

    person = desk.find(name)
    sharing = people.Sharing(
        lead=desk.key,
        card=desk.card_key(),
        to=desk.key_of(person),
        pin=desk.pin_of(person),
    )
    people.share(desk.shop, sharing)
    lines = [f"{person_name(desk.shop, person)} signs cards with the own PIN now."]
    show.answer(desk, lines, badge=person.badge)


@signs(app)
def dismiss(desk: Desk, name: NameArgument, role: RoleArgument) -> None:
    """Take a role back; the roots approve.

    What was done in it still stands.
    """
    from ledger.acts import people
    from ledger.acts.signing import person_name

    person = desk.find(name)
    entry = people.dismiss(desk.shop, person, role, desk.hands())
    lines = [
        f"{person_name(desk.shop, person)} is no longer {role}, by entry {entry.index}."
    ]
    show.answer(desk, lines, badge=person.badge, role=role, entry=entry.index)


@signs(app)
def disqualify(desk: Desk, name: NameArgument, work: WorkArgument) -> None:
    """Let a person sign a kind of work no more.

    What was signed stays signed.
    """
    from ledger.acts import people
    from ledger.acts.signing import person_name

    person = desk.find(name)
    entries = people.disqualify(desk.shop, person, work, desk.hands())
    lines = [f"{person_name(desk.shop, person)} signs {', '.join(work)} no more."]
    show.answer(desk, lines, badge=person.badge, entries=[e.index for e in entries])


@signs(app)
def retire(desk: Desk, name: NameArgument) -> None:
    """End a person's key; what it signed still stands."""
    from ledger.acts import people
    from ledger.acts.signing import person_name

    person = desk.find(name)
    entry = people.retire(desk.shop, person, desk.hands())
    lines = [
        f"The key of {person_name(desk.shop, person)} has ended with entry "
        f"{entry.index}; what it signed before still stands."
    ]
    show.answer(desk, lines, badge=person.badge, entry=entry.index)


@signs(app)
def replace_key(desk: Desk, name: NameArgument, card_by: CardByOption = "") -> None:
    """Give a person a new key and PIN; the old key ends."""
    from ledger.acts import people
    from ledger.acts.signing import card_key, person_name

    person = desk.find(name)
    shared_by = None
    if card_by:
        lead = desk.find(card_by)
        card = card_key(desk.shop, lead, desk.pin_of(lead))
        shared_by = (desk.key_of(lead), card)
    hands = desk.hands()
    pin = desk.new_pin(f"{person.badge}-new")
    entry = people.replace_key(desk.shop, person, pin, hands, shared_by=shared_by)
    lines = [
        f"{person_name(desk.shop, person)} signs with a new key from entry "
        f"{entry.index + 1} on."
    ]
    show.answer(desk, lines, badge=person.badge, entry=entry.index)


@signs(app)
def erase(desk: Desk, name: NameArgument) -> None:
    """Erase a person's name; every proof still verifies.

    Particulars go with the name.
    """
    from ledger.acts import people

    person = desk.find(name)
    entry = people.erase(desk.shop, person.subject, desk.hands())
    held = record_copies.still_held(desk.shop, entry.index, since=person.idx)
    lines = [
        f"The name behind badge {person.badge} is erased; entry {entry.index} says so.",
        *record_copies.held_words(held),
    ]
    told = record_copies.held_data(held)
    show.answer(desk, lines, badge=person.badge, entry=entry.index, still_held=told)


@signs(app, "list")
def list_(desk: Desk, training: TrainingOption = False) -> None:
    """List everybody, with badge, roles and qualifications.

    With --training also what they learn, to a lead.

    With --training others are told what they learn themselves, each with the own PIN.
    """
    from ledger.acts.signing import person_name
    from ledger.acts.training import learning
    from ledger.views.people import abilities, people

    learnt = learning(desk.shop, desk.key) if training else {}
    with desk.shop.store.reading() as session:
        rows: list[dict[str, Any]] = [
            {
                "badge": p.badge,
                "name": person_name(desk.shop, p),
                "retired": p.is_retired,
                "may": [ability.name for ability in abilities(session, p.subject)],
            }
            | ({"learns": _learns(learnt[p.badge])} if p.badge in learnt else {})
            for p in people(session)
        ]
    lines = [
        f"{row['badge']:>4}  {row['name']}{' (retired)' if row['retired'] else ''}: "
        f"{', '.join(row['may']) or 'nothing yet'}{_learns_words(row)}"
        for row in rows
    ]
    show.answer(desk, lines, people=rows)


def _learns(learnt: list[Any]) -> list[dict[str, Any]]:
    return [
        {
            "work": each.work,
            "trainer": each.trainer,
            "since": each.since,
            "entry": each.idx,
        }
        for each in learnt
    ]


def _learns_words(row: dict[str, Any]) -> str:
    return "".join(
        f"; learns {each['work']} from {each['trainer']} since {each['since']}, entry "
        f"{each['entry']}"
        for each in row.get("learns", ())
    )


person_agreement.add_to(app)
person_compromised.add_to(app)
person_entries.add_to(app)
person_training.add_to(app)
