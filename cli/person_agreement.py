"""flitchbook person agreement: how two graders agree, for those two and the lead."""

from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, signs
from ledger.scales import in_a_row

OneArgument = Annotated[str, typer.Argument(help="A badge, a name or part of one.")]
OtherArgument = Annotated[str, typer.Argument(help="The other one.")]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the person."""
    signs(app)(agreement)


def agreement(desk: Desk, one: OneArgument, other: OtherArgument) -> None:
    """Tell how two graders agree over the same boards.

    Nothing is recorded.

    Those two and the lead are told, each with the own PIN; nobody else is.
    """
    from ledger.acts.agreeing import agreeing
    from ledger.acts.signing import person_name
    from ledger.craft.agreement import agreement_words, apart_words

    people = [desk.find(name) for name in (one, other)]
    told = agreeing(desk.shop, desk.key, *people)
    names = [person_name(desk.shop, person) for person in people]
    said = told.agreement
    lines = [
        f"{names[0]} and {names[1]}: {agreement_words(said)}",
        f"{apart_words(said)}, {names[0]} first" if said.apart else apart_words(said),
        _policy_line(told),
        *(f"note: {remark}" for remark in told.remarks),
    ]
    show.answer(desk, lines, badges=[p.badge for p in people], **_data(told))


def _policy_line(told: Any) -> str:
    versions = in_a_row([str(version) for version in told.versions])
    noun = "version" if len(told.versions) == 1 else "versions"
    return (
        f"by {told.policy}, {noun} {versions}; {told.agreement.method}, which says "
        f"nothing of who is right"
    )


def _data(told: Any) -> dict[str, Any]:
    said = told.agreement
    return {
        "boards": said.boards,
        "alike": said.alike,
        "by_chance_ppm": said.by_chance_ppm,
        "kappa_ppm": said.plain.kappa_ppm,
        "standard_error_ppm": said.plain.standard_error_ppm,
        "weighted_kappa_ppm": said.weighted.kappa_ppm,
        "weighted_standard_error_ppm": said.weighted.standard_error_ppm,
        "apart": [
            {"first": a, "second": b, "boards": number} for a, b, number in said.apart
        ],
        "policy": told.policy,
        "versions": list(told.versions),
        "method": said.method,
        "remarks": list(told.remarks),
    }
