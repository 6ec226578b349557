"""flitchbook lot evidence: what is held for wood, by which paper, and what is not."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads

CodeArgument = Annotated[
    str, typer.Argument(help="A lot, a board or a set, or a serial; typed or scanned.")
]
MissingOption = Annotated[
    bool,
    typer.Option(
        "--missing",
        help="All wood in the rack or in open builds that lacks something, the most "
        "urgent first.",
    ),
]
ToOption = Annotated[
    str,
    typer.Option(
        "--to", help="A country it will go to as wood; the Union asks for its plots."
    ),
]
WORDS = {
    "permit": "permit",
    "purchase": "purchase",
    "country": "harvested in",
    "acquired": "acquired",
    "species": "name",
    "plots": "plots",
}
LISTED = {True: "listed", False: "no listing found", None: "ask whether listed"}


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the lot."""
    reads(app)(evidence)


def evidence(
    desk: Desk,
    code: CodeArgument = "",
    missing: MissingOption = False,
    to: ToOption = "",
) -> None:
    """Tell what is held for wood, from the board to the paper, and what is missing."""
    from ledger.errors import RefusedError

    if bool(code) == missing or (missing and to):
        raise RefusedError(
            "say of which wood: give a lot, a board or a serial, or --missing alone"
        )
    if missing:
        _tell_missing(desk)
    else:
        _tell(desk, code, to)


def _tell(desk: Desk, code: str, to: str) -> None:
    from ledger.acts.evidence import evidence_of

    wanted = _wanted(desk, code)
    found = evidence_of(desk.shop, wanted, to=to)
    lacks = [line for wood in found for line in _missing_lines(wood)]
    count = len(lacks)
    first = f"{show.counted(count, 'thing')} missing" if count else "nothing is missing"
    lines = [f"{wanted}: {first}", *(f"  {line}" for line in lacks)]
    for wood in found:
        lines += _wood_lines(wood)
    if not found:
        lines = [f"{wanted}: no wood is in it"]
    show.answer(
        desk,
        [*lines, _caution()],
        code=str(wanted),
        missing=count,
        wood=[wood_data(wood) for wood in found],
    )


def _tell_missing(desk: Desk) -> None:
    from ledger.acts.lacking import lacking

    found = lacking(desk.shop)
    lines = [
        f"{show.counted(len(found), 'lot')} with something missing"
        if found
        else "nothing is missing of the wood in the rack and in open builds"
    ]
    for each in found:
        promised = f", promised for {each.by}" if each.by else ""
        serials = f", in {show.listed(each.serials)}" if each.serials else ""
        lines.append(
            f"{each.wood.code}  {each.wood.species}, {LISTED[each.is_listed]}"
            f"{serials}{promised}"
        )
        lines += [f"  {WORDS[one.kind]}: {one.missing}" for one in each.wood.missing]
    show.answer(
        desk,
        [*lines, _caution()],
        missing=[
            wood_data(each.wood)
            | {"by": each.by, "serials": list(each.serials), "listed": each.is_listed}
            for each in found
        ],
    )


def _wanted(desk: Desk, code: str) -> Any:
    """Return a code as a lot, a board or a serial; another one is refused."""
    from ledger.acts.voiding import require_true
    from ledger.errors import RefusedError
    from ledger.ids import BoardId, LotId, parse_any
    from ledger.serials import Serial

    own = desk.own(code)
    with desk.shop.store.reading() as session:
        require_true(session, own)
    found = parse_any(own, desk.shop.settings.pattern)
    if not isinstance(found, BoardId | LotId | Serial):
        raise RefusedError(
            f"{found} is a {found.form.noun}: give a lot, a board or a serial"
        )
    return found


def _missing_lines(wood: Any) -> Iterator[str]:
    for each in wood.missing:
        yield f"{wood.code} {WORDS[each.kind]}: {each.missing}"


def _wood_lines(wood: Any) -> Iterator[str]:
    """Yield a lot, how it came in, and each requirement with what shows it."""
    through = f" by {show.listed(wood.boards)}" if wood.boards else ""
    old = f", old stock, evidence {wood.evidence}" if wood.is_opening else ""
    yield f"{wood.code}  {wood.species}, {wood.what}{through}{old}"
    yield f"  {_trail(wood)}"
    for each in wood.asked:
        level = each.level if each.is_asked or each.level != "none" else "not asked"
        where = "" if each.entry is None else f"  (entry {each.entry})"
        yield f"  {WORDS[each.kind]:<13} {level:<9} {each.said}{where}"


def _trail(wood: Any) -> str:
    """Say in which entries the boards, their lot and its papers stand."""
    steps = [
        ("board", wood.entries),
        ("lot" if wood.code.startswith("L") else "batch", (wood.entry,)),
        ("paper", wood.paper_entries),
    ]
    told = [f"{what} {', '.join(map(str, found))}" for what, found in steps if found]
    return f"entries: {' <- '.join(reversed(told))}"


def wood_data(wood: Any) -> dict[str, Any]:
    """Return what is held for a lot as stable JSON."""
    return {
        "lot": wood.code,
        "what": wood.what,
        "boards": list(wood.boards),
        "species": wood.species,
        "opening": wood.is_opening,
        "evidence": wood.evidence,
        "shown": wood.shown,
        "papers": [_paper_data(paper) for paper in wood.held],
        "requirements": [asdict(each) for each in wood.asked],
        "missing": [asdict(each) for each in wood.missing],
        "entries": [*wood.entries, wood.entry, *wood.paper_entries],
    }


def _paper_data(paper: Any) -> dict[str, Any]:
    days: Sequence[str] = ("issued_on", "expires_on")
    told = {name: getattr(paper, name) for name in days}
    return asdict(paper) | {
        name: None if day is None else day.isoformat() for name, day in told.items()
    }


def _caution() -> str:
    from ledger.trade.tables import table_date

    return (
        f"Tables compiled {table_date().isoformat()}. This is what the shop's record "
        f"holds, and no permit or advice; ask the Management Authority before anything "
        f"moves."
    )
