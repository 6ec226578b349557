"""flitchbook record prov: where things came from, for programs that are not ours."""

from pathlib import Path
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads

CodesArgument = Annotated[
    list[str] | None,
    typer.Argument(help="Serials, boards, lots, documents or batches.", metavar="CODE"),
]
OutOption = Annotated[Path, typer.Option("--out", help="A new file, such as it.json.")]
WholeOption = Annotated[
    bool, typer.Option("--whole", help="The whole log, and nothing by its code.")
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the record."""
    reads(app)(prov)


def prov(
    desk: Desk,
    out: OutOption,
    codes: CodesArgument = None,
    whole: WholeOption = False,
) -> None:
    """Write the record as W3C PROV-JSON.

    Things, entries, hands by badge, and how they hang together.

    Each relation is named by its entry. No person's name, no reason and no order is
    told, and a sawyer is shown as a certificate may show the sawyer.
    """
    from ledger.acts.folders import write
    from ledger.acts.provenance import provenance
    from ledger.errors import RefusedError

    if bool(codes) == whole:
        raise RefusedError("name what you ask about by its code, or give --whole")
    show.require_new(out)
    graph = provenance(desk.shop, [_code(desk, code) for code in codes or ()])
    write(out, graph.data())
    counts = {
        "entities": len(graph.entities),
        "activities": len(graph.activities),
        "agents": len(graph.agents),
        "relations": len(graph.relations),
    }
    said = ", ".join(f"{count} {what}" for what, count in counts.items())
    show.answer(desk, [f"{out}: PROV-JSON, {said}."], out=str(out), **counts)


def _code(desk: Desk, typed: str) -> str:
    """Return a code as it is recorded, typed or scanned."""
    from ledger.ids import parse_any

    own: Any = desk.own(typed)
    return str(parse_any(own, desk.shop.settings.pattern))
