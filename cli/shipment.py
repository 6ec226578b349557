"""flitchbook shipment: what leaves together, and the papers it asks for."""

from pathlib import Path
from typing import Annotated, Any

import typer

from cli import shipment_papers, show
from cli.context import Desk, signs
from cli.shipment_lines import plan_data, plan_lines

app = typer.Typer(
    name="shipment",
    help="What leaves together, and which papers it asks for.",
    no_args_is_help=True,
)
ThingsArgument = Annotated[
    list[str], typer.Argument(help="Serials of instruments, boards or sets.")
]
ToOption = Annotated[str, typer.Option("--to", help="The country, such as JP.")]
FromOption = Annotated[
    str | None,
    typer.Option(
        "--from", help="Where it starts, such as FR; else in the shop's own country."
    ),
]
ViaOption = Annotated[
    list[str],
    typer.Option(help="A country where it stops on the way; may be repeated."),
]
ForOption = Annotated[
    str,
    typer.Option(
        "--for",
        help="Sale, gift, personal, performance, exhibition, competition, teaching, "
        "loan, appraisal or repair.",
    ),
]
OnOption = Annotated[
    str, typer.Option("--on", help="The day it moves, whose law counts; else today.")
]
OwnerOption = Annotated[
    bool | None,
    typer.Option(
        "--owner-changes/--owner-stays", help="Where the purpose leaves it open."
    ),
]
HtsOption = Annotated[
    str | None,
    typer.Option(
        "--hts-number", help="Its number in the US tariff, such as 9202.90.40."
    ),
]
DescribedOption = Annotated[
    Path | None,
    typer.Option(help="A file that describes what goes along and was not made here."),
]
MassOption = Annotated[
    list[str],
    typer.Option(
        "--mass",
        help="Of shell or bone in it, such as 'M26-003=2.1 g'; may be repeated.",
    ),
]
AheadOption = Annotated[
    bool, typer.Option("--look-ahead", help="Only look; record nothing.")
]


@signs(app)
def plan(
    desk: Desk,
    things: ThingsArgument = [],  # noqa: B006 - typer reads the default
    *,
    to: ToOption,
    from_: FromOption = None,
    purpose: ForOption,
    via: ViaOption = [],  # noqa: B006 - typer reads the default
    on: OnOption = "",
    owner_changes: OwnerOption = None,
    hts_number: HtsOption = None,
    described: DescribedOption = None,
    masses: MassOption = [],  # noqa: B006 - typer reads the default
    look_ahead: AheadOption = False,
) -> None:
    """Plan a shipment: tell what must be asked and which papers are needed.

    What comes home again, as from a tour, goes --via where it is played --to its own
    country: --from GB --via US --to GB.

    What goes along and was not made here is described in a file:

    {"things": [{"what": "guitar of 1964", "marks": "number 4711 inside",
    "parts": [{"part": "back", "species": "Dalbergia nigra",
    "form": "finished_instruments", "mass": "850 g", "origin": "BR",
    "acquired": "1963-05-01", "papers": ["D26-0009"]}]}]}

    Where the origin is one of several countries, it has "may_be_from": ["ID", "MG"].
    The forms are those that flitchbook determine --help lists.
    """
    from ledger.acts import shipments
    from ledger.acts.departing import start_of

    start = start_of(desk.shop, from_)
    goods = _goods(desk, things, described, masses)
    journey = shipments.Journey(
        legs=(start.country, *via, to),
        moves_on=on or desk.shop.today(),
        purpose=purpose,
        owner_changes=owner_changes,
        hts_number=hts_number,
    )
    if look_ahead:
        found = shipments.foresee(desk.shop, goods=goods, journey=journey)
    else:
        found = shipments.plan(
            desk.shop, goods=goods, journey=journey, hands=desk.hands()
        )
    first, *rest = plan_lines(found)
    own = [f"  It sets out {start.words}."] if start.is_of_shop else []
    data = plan_data(found) | {
        "start": {"country": start.country, "of_shop": start.is_of_shop}
    }
    show.answer(desk, [first, *own, *rest], **data)


def _goods(
    desk: Desk, things: list[str], described: Path | None, masses: list[str]
) -> Any:
    """Return what is to go: instruments, boards, and what a file describes."""
    from cli.determine import read_json
    from ledger.acts.described import read_described
    from ledger.acts.freight import Goods

    serials, boards = _things(desk, things)
    pieces = (
        ()
        if described is None
        else read_described(read_json(described), desk.shop.today())
    )
    return Goods(
        serials=tuple(serials),
        boards=tuple(boards),
        described=pieces,
        masses_mg=dict(_mass(desk, text) for text in masses),
    )


def _mass(desk: Desk, text: str) -> tuple[str, int]:
    from cli.build_sign import pair
    from ledger.benchcodes import MaterialId
    from ledger.quantities import mass_mg

    batch, mass = pair(text)
    return str(MaterialId.parse(desk.own(batch))), mass_mg(mass)


def _things(desk: Desk, things: list[str]) -> tuple[list[str], list[str]]:
    """Tell serials from boards."""
    from ledger.errors import RefusedError
    from ledger.ids import BoardId, parse_any
    from ledger.serials import Serial
    from ledger.views.boards import boards_named

    serials: list[str] = []
    boards: list[str] = []
    for text in things:
        code = parse_any(desk.own(text), desk.shop.settings.pattern)
        if isinstance(code, Serial):
            serials.append(str(code))
        elif isinstance(code, BoardId):
            # Of a set both halves go.
            with desk.shop.store.reading() as session:
                halves = [board.code for board in boards_named(session, str(code))]
            boards += halves or [str(code)]
        else:
            raise RefusedError(
                f"{code} is a {code.form.noun}: name serials of instruments, or boards"
            )
    return serials, boards


shipment_papers.add_to(app)
