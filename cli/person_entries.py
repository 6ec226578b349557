"""flitchbook person show and entries: what somebody signed, with which keys."""

from typing import Annotated, Any

import typer

from cli import record_claims, show
from cli.context import Desk, reads

NameArgument = Annotated[str, typer.Argument(help="A badge, a name or part of one.")]
SinceOption = Annotated[
    str | None,
    typer.Option(help="The first day or moment: 2026-11-24T16:40:00Z, in UTC."),
]
UntilOption = Annotated[str | None, typer.Option(help="The last day or moment.")]
DisputedOption = Annotated[
    bool, typer.Option("--disputed", help="Only what is in dispute and not affirmed.")
]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the person."""
    reads(app, "show")(show_person)
    reads(app)(entries)


def show_person(desk: Desk, name: NameArgument) -> None:
    """Show a person's keys, and verify all that they ever signed."""
    from ledger.acts.claims import signatures_of
    from ledger.acts.signing import person_name
    from ledger.errors import TamperError
    from ledger.views.people import abilities

    person = desk.find(name)
    standing = desk.shop.standing()
    with desk.shop.store.reading() as session:
        signed = signatures_of(desk.shop, session, person)
        may = [ability.name for ability in abilities(session, person.subject)]
    if signed.bad:
        raise TamperError(
            f"{len(signed.bad)} of {signed.count} signatures of badge {person.badge} "
            f"are not good, the first in entry {signed.bad[0]}: run flitchbook record "
            f"audit"
        )
    keys = [_key(key, standing.keys[key]) for key in signed.keys]
    state = f"may sign {', '.join(may) or 'nothing'}"
    if person.is_retired:
        state = "retired"
    count = f"{signed.count:,} signatures, all good" if signed.count else "no signature"
    lines = [
        f"{person.badge}  {person_name(desk.shop, person)}: {state}",
        *(f"  key {row['key']} {_span(row)}" for row in keys),
        f"  {count}",
    ]
    show.answer(
        desk,
        lines,
        badge=person.badge,
        name=person_name(desk.shop, person),
        retired=person.is_retired,
        may=may,
        keys=keys,
        signatures=signed.count,
        bad=list(signed.bad),
    )


def entries(
    desk: Desk,
    name: NameArgument,
    since: SinceOption = None,
    until: UntilOption = None,
    disputed: DisputedOption = False,
) -> None:
    """List what a person signed, one entry a line.

    All of it, or between two days or moments.

    With --disputed only what a reported key said or approved, and nobody affirmed.
    """
    from ledger.acts.claims import signed_by
    from ledger.acts.signing import person_name

    if disputed:
        _disputed(desk, name, since or until)
        return
    person = desk.find(name)
    with desk.shop.store.reading() as session:
        found = signed_by(desk.shop, session, person, start=since, end=until)
    who = person_name(desk.shop, person)
    lines = [
        f"{who}, badge {person.badge}: {len(found):,} "
        f"{'entry' if len(found) == 1 else 'entries'}",
        *(f"  {record_claims.line(claim)}" for claim in found),
    ]
    if found and (since or until):
        lines.append(
            "Strike each that is not yours: flitchbook record correct ENTRY --why …"
        )
    told = [record_claims.data(claim) for claim in found]
    show.answer(desk, lines, badge=person.badge, entries=told)


def _disputed(desk: Desk, name: str, moment: str | None) -> None:
    """List what is open of a person's keys, what governs first."""
    from cli.person_compromised import disputed_data, disputed_words
    from ledger.acts.claims import keys_of
    from ledger.acts.disputes import disputed as in_dispute
    from ledger.acts.signing import person_name
    from ledger.errors import RefusedError

    if moment:
        raise RefusedError(
            "--disputed lists all that is open: leave --since and --until away"
        )
    person, standing = desk.find(name), desk.shop.standing()
    with desk.shop.store.reading() as session:
        found = in_dispute(session, standing, keys_of(session, person))
    who = person_name(desk.shop, person)
    lines = [
        f"{who}, badge {person.badge}: {len(found):,} in dispute",
        *(f"  {disputed_words(each)}" for each in found),
    ]
    told = [disputed_data(each) for each in found]
    show.answer(desk, lines, badge=person.badge, disputed=told)


def _key(key: str, known: Any) -> dict[str, Any]:
    return {
        "key": key,
        "from": known.from_index,
        "until": known.until_index,
        "disputed_since": known.disputed_since,
    }


def _span(row: dict[str, Any]) -> str:
    ended = row["until"]
    disputed = row["disputed_since"]
    said = f"since entry {row['from']}" + (f", ended with {ended}" if ended else "")
    return said + (f", disputed since {disputed}" if disputed is not None else "")
