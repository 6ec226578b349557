"""flitchbook board grade, reject: what wood is good for, in the house's own words."""

from itertools import groupby
from typing import Annotated, Any, Literal

import typer

from cli import show
from cli.context import WHY, Desk, signs
from ledger.errors import RefusedError

SetArgument = Annotated[str, typer.Argument(help="A board or a set, or its scan.")]
RingsOption = Annotated[
    list[str],
    typer.Option(
        help="Rings counted at a place: '32 in 50 mm'; repeat it for each place."
    ),
]
AngleOption = Annotated[
    list[str],
    typer.Option(
        help="Of the rings from quarter, at a place: '4°'; repeat it for each place."
    ),
]
RunoutOption = Annotated[str, typer.Option(help="How the grain leaves the face: '2°'.")]
SkewOption = Annotated[str, typer.Option(help="The grain's line within it: '1°'.")]
Scale = Literal["none", "slight", "clear", "strong"]
FigureOption = Annotated[Scale | None, typer.Option(help="How strong the figure is.")]
AsSeenOption = Annotated[
    str | None, typer.Option("--as-seen", help="The figure in your own words.")
]
SilkOption = Annotated[Scale | None, typer.Option(help="How clear the ray fleck is.")]
ColourOption = Annotated[
    Literal["even", "slightly uneven", "uneven"] | None,
    typer.Option(help="How even the colour is."),
]
LabOption = Annotated[
    str,
    typer.Option("--lab", help="The colour measured, CIE L*, a*, b*: '82 -1.4 21'."),
]
DefectOption = Annotated[
    list[str],
    typer.Option(
        help="Such as knot, or 'knot outside' where the template leaves it off; may be "
        "repeated."
    ),
]
CleanOption = Annotated[
    bool, typer.Option("--no-defects", help="Looked for, and found none.")
]
ForOption = Annotated[
    str | None, typer.Option("--for", help="The part; else what it is meant for.")
]
WordOption = Annotated[
    str | None,
    typer.Option("--grade", help="Your own grade; else what the house's rule says."),
]
FaultOption = Annotated[
    list[str], typer.Option("--fault", help="What is wrong; may be repeated.")
]
ReturnedOption = Annotated[
    bool, typer.Option("--returned", help="It went back to the sawyer.")
]
ReasonOption = Annotated[
    str,
    typer.Option(*WHY, help="What more there is to say; kept out of the log."),
]
OUTSIDE = " outside"
# Between a grade that is open and what nobody looked at for it.


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the board."""
    signs(app)(grade)
    signs(app)(reject)


def grade(
    desk: Desk,
    board: SetArgument,
    rings: RingsOption = [],  # noqa: B006 - typer reads the default
    angle: AngleOption = [],  # noqa: B006 - typer reads the default
    runout: RunoutOption = "",
    skew: SkewOption = "",
    figure: FigureOption = None,
    as_seen: AsSeenOption = None,
    silk: SilkOption = None,
    colour: ColourOption = None,
    lab: LabOption = "",
    defect: DefectOption = [],  # noqa: B006 - typer reads the default
    no_defects: CleanOption = False,
    part: ForOption = None,
    word: WordOption = None,
    reason: ReasonOption = "",
) -> None:
    """Grade a board by the house's rule; your own word stands beside the rule's."""
    from ledger.acts import grading
    from ledger.quantities import angle_millidegree

    seen = grading.Seen(
        rings=tuple(map(_rings, rings)),
        angles_millidegree=tuple(map(angle_millidegree, angle)),
        runout_millidegree=angle_millidegree(runout) if runout else None,
        skew_millidegree=angle_millidegree(skew) if skew else None,
        figure=figure,
        figure_as_seen=as_seen,
        silk=silk,
        colour=colour,
        lab_milli=_lab(lab) if lab else None,
        defects=_defects(defect, is_clean=no_defects),
    )
    done = grading.grade(
        desk.shop,
        desk.own(board),
        seen,
        part=part,
        word=word,
        reason=reason or None,
        hands=desk.hands(),
    )
    show.answer(
        desk,
        _lines(done),
        boards=[_data(each) for each in done],
    )


def reject(
    desk: Desk,
    board: SetArgument,
    fault: FaultOption,
    returned: ReturnedOption = False,
    reason: ReasonOption = "",
) -> None:
    """Take a board out of use: it goes into no instrument any more."""
    from ledger.acts import rejects

    entries = rejects.reject(
        desk.shop,
        desk.own(board),
        faults=fault,
        is_returned=returned,
        reason=reason or None,
        hands=desk.hands(),
    )
    codes = [entry.event["board"] for entry in entries]
    faults = list(entries[0].event["faults"])
    where = "went back to the sawyer" if returned else "goes into no instrument"
    show.answer(
        desk,
        [f"{' and '.join(codes)}: {', '.join(faults)}; {where}."],
        boards=codes,
        faults=faults,
        returned=returned,
        entries=[entry.index for entry in entries],
    )


def _lines(done: list[Any]) -> list[str]:
    """Say each grade, and why once for halves that were graded alike."""
    from ledger.craft.grading import in_short

    lines: list[str] = []
    for reasons, group in groupby(done, key=lambda each: each.graded.reasons):
        for judged in group:
            rule = judged.graded.grade or "no grade yet"
            beside = "" if rule == judged.grade else f", by the rule {rule}"
            entry = judged.entry.index
            lines.append(f"{judged.board}: {judged.grade}{beside}, entry {entry}.")
        lines += [f"  {words}" for words in in_short(reasons)]
    return lines


def _data(judged: Any) -> dict[str, Any]:
    return {
        "board": judged.board,
        "grade": judged.grade,
        "suggested": judged.graded.grade,
        "open": list(judged.graded.open),
        "reasons": list(judged.graded.reasons),
        "policy": judged.graded.policy,
        "entry": judged.entry.index,
    }


def _rings(text: str) -> Any:
    """Read so many rings in so much."""
    from ledger.craft.rings import RingCount
    from ledger.quantities import length_um

    number, between, span = text.partition(" in ")
    if not between or not number.strip().isdecimal():
        raise RefusedError(f"{text!r} is no count of rings: write '32 in 50 mm'")
    return RingCount(rings=int(number), span_um=length_um(span))


def _lab(text: str) -> tuple[int, int, int]:
    """Read a colour of three numbers; a* and b* may lie below nothing."""
    from decimal import Decimal, InvalidOperation

    words = text.split()
    try:
        parts = [Decimal(word.replace(",", ".")) for word in words]
    except InvalidOperation:
        parts = []
    if len(parts) != 3 or not all(abs(part) <= 200 for part in parts):
        raise RefusedError(
            f"{text!r} is no colour: write L*, a* and b*, such as '82 -1.4 21'"
        )
    lightness, a, b = (round(part * 1000) for part in parts)
    if not 0 <= lightness <= 100_000:
        raise RefusedError(f"a lightness of {words[0]} is none: L* goes from 0 to 100")
    return lightness, a, b


def _defects(texts: list[str], *, is_clean: bool) -> Any:
    """Read what was found; nothing said is nobody looked."""
    from ledger.craft.grading import Defect

    if is_clean and texts:
        raise RefusedError(
            f"--no-defects says there is none, and there is {texts[0]}: say one of them"
        )
    if not texts:
        return () if is_clean else None
    return tuple(
        Defect(kind=text.removesuffix(OUTSIDE), is_outside=text.endswith(OUTSIDE))
        for text in texts
    )
