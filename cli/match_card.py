"""Match cards of what was found on the rack: facts from the record, for the eye."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from cli import match_lines, pictures, show
from cli.printing import Place

# Of more pairs than these nobody looks through the cards.
MOST_CARDS = 24
UNKNOWN = "\u2014"


def of_pairs(shop: Any, session: Any, found: Any, wanted: Any) -> list[Any]:
    """Return a card for each of the best pairs of a rack."""
    pairing = found.pairing
    return [
        _card(
            shop,
            session,
            [found.boards[code] for code in pair.boards],
            like=pair.likeness,
            runner_up=pair.runner_up,
            equals=match_lines.EQUAL_PAIRS,
            methods=found.methods,
            where=f"{wanted.part}, by {pairing.policy}, {pairing.method}",
        )
        for pair in pairing.pairs[:MOST_CARDS]
    ]


def of_builds(shop: Any, session: Any, found: Any, part: str) -> list[Any]:
    """Return a card for each build that gets a pair."""
    return [
        _card(
            shop,
            session,
            [found.boards[code] for code in served.boards],
            like=found.pairs[served.boards].likeness,
            runner_up=served.runner_up,
            wishes=[r for r in served.reasons if not r.startswith("its halves")],
            equals=match_lines.EQUAL_UNITS,
            methods=found.methods,
            where=f"{part} of {served.order}, by {found.assignment.policy}, "
            f"{found.assignment.method}",
        )
        for served in found.assignment.served
        if served.boards in found.pairs
    ][:MOST_CARDS]


def of_chosen(shop: Any, session: Any, chosen: Any) -> list[Any]:
    """Return the card of a pair that somebody chose."""
    said = chosen.entry.event
    part = f"{said['part']} of {said['serial']}" if "serial" in said else said["part"]
    return [
        _card(
            shop,
            session,
            chosen.boards,
            like=chosen.likeness,
            methods=chosen.methods,
            where=f"{part}, {said['method']}, points by {said['policy']} "
            f"{said['version']}",
            entries=(chosen.entry.index,),
        )
    ]


def put(cards: Sequence[Any], place: Place, *, day: str) -> list[str]:
    """Bring cards to where they were asked for, and return the lines that say so.

    A PDF has a sheet for each; of several pictures each gets a number.
    """
    if not place:
        return []
    if not cards:
        return ["picture: none, for there is no pair to draw"]
    from labels import match_sheets, plots

    show.notices(list(dict.fromkeys(n for card in cards for n in plots.notices(card))))
    out, title = place.out, "match cards"
    if out is None or out.suffix.casefold() == ".pdf" or len(cards) == 1:
        pdf = match_sheets.pdf(cards, day=day)
        return pictures.put_paper(pdf, place, title=title)
    lines = []
    for number, card in enumerate(cards, start=1):
        one = replace(place, out=out.with_name(f"{out.stem}-{number}{out.suffix}"))
        pdf = match_sheets.pdf([card], day=day)
        lines += pictures.put_paper(pdf, one, title=f"match card {number}")
    return lines


def _card(
    shop: Any,
    session: Any,
    boards: Sequence[Any],
    *,
    like: Any,
    where: str,
    methods: Sequence[str],
    runner_up: Any = None,
    equals: str = "",
    wishes: Sequence[str] = (),
    entries: tuple[int, ...] = (),
) -> Any:
    from labels.match_card import MatchCard
    from labels.plot_figure import Heading
    from ledger.quantities import factor

    one, other = boards
    drawn = [_drawn(shop, session, board) for board in boards]
    points = factor(like.points_milli, places=1)
    used = sorted({*entries, *(idx for _, idxs in drawn for idx in idxs)})
    return MatchCard(
        heading=Heading(
            title=f"{one.board} with {other.board}: {points} points apart",
            where=f"{one.species}, {where}",
            entries=tuple(used),
        ),
        left=drawn[0][0],
        right=drawn[1][0],
        rows=tuple(_rows(one, other)),
        why=tuple(
            f"{text[:1].upper()}{text[1:]}"
            for text in (*wishes, *_why(like), *(f"taps by {m}" for m in methods))
        ),
        runner_up=_instead(runner_up, equals),
    )


def _drawn(shop: Any, session: Any, board: Any) -> tuple[Any, tuple[int, ...]]:
    """Return a board as it is drawn, and the entries that say how it looks."""
    from labels.match_card import Candidate
    from ledger.acts.candidates import seen_on
    from ledger.log import attachments
    from ledger.views.readings import photographs_of

    code = str(board.board)
    seen = seen_on(session, [code])[code]
    fronts = [row for row in photographs_of(session, [code]) if row.face == "front"]
    newest = fronts[-1] if fronts else None
    picture = attachments.read(shop.attachments, newest.digest) if newest else None
    drawn = Candidate(
        name=code,
        length_um=board.length_um,
        width_um=board.width_um,
        ring_um=seen.ring_width_um,
        grain_millidegree=seen.skew_millidegree,
        is_side_known=False,
        photograph=picture,
    )
    return drawn, (*seen.entries, *((newest.idx,) if newest else ()))


def _rows(one: Any, other: Any) -> Iterator[Any]:
    """Yield every number that was measured of either board, and how far they differ."""
    from labels.match_card import Comparison
    from ledger.craft.likeness import noun_of, ratio_ppm, trait_of, trait_words
    from ledger.craft.matching_policy import RATIOS
    from ledger.quantities import RATIO_UNIT, percent

    for trait in RATIOS:
        first, second = (trait_of(board, trait) for board in (one, other))
        if first is None and second is None:
            continue
        here, there = (
            UNKNOWN if value is None else trait_words(trait, value)
            for value in (first, second)
        )
        apart = UNKNOWN
        if first is not None and second is not None:
            apart = percent(ratio_ppm(first, second), places=1)
        unit = f", {RATIO_UNIT}" if trait == "radiation ratio" else ""
        what = f"{noun_of(trait)}{unit}"
        yield Comparison(what=what, left=here, right=there, difference=apart)
    for what, here, there in (
        ("figure", one.figure, other.figure),
        ("grade", one.grade, other.grade),
    ):
        if here or there:
            same = "alike" if here == there else UNKNOWN
            yield Comparison(
                what=what, left=here or UNKNOWN, right=there or UNKNOWN, difference=same
            )


def _why(like: Any) -> Iterator[str]:
    """Yield what two boards are to each other, and what each difference costs."""
    from ledger.craft.likeness import KIN_WORDS, noun_of
    from ledger.quantities import factor

    kin = like.points_milli - sum(each.points_milli for each in like.differences)
    points = f", {factor(kin, places=1)} points" if kin else ""
    yield f"{KIN_WORDS[like.kin]}{points}"
    costs = [
        f"{noun_of(each.trait)} {factor(each.points_milli, places=1)}"
        for each in like.differences
        if each.points_milli and each.apart is not None
    ]
    if costs:
        yield f"points: {', '.join(costs)}"
    unknown = [each for each in like.differences if each.apart is None]
    if unknown:
        told = ", ".join(
            f"{noun_of(each.trait)} {factor(each.points_milli, places=1)}"
            for each in unknown
        )
        yield f"points for what was not measured of both: {told}"


def _instead(runner_up: Any, equals: str) -> Any:
    """Return the next best on a card, and by how much it is dearer; of equals why."""
    from labels.match_card import RunnerUp
    from ledger.craft.matching import dearer_words

    if runner_up is None:
        return None
    why = dearer_words(runner_up.extra_milli)
    if not runner_up.extra_milli:
        why = f"would do as well; {equals}"
    return RunnerUp(name=_named(runner_up), why_not=why)


def _named(runner_up: Any) -> str:
    """Say which boards a runner-up has, of builds for which of them."""
    from ledger.craft.orders import MOST_NAMED

    if hasattr(runner_up, "pairs"):
        return " and ".join(f"{one} with {other}" for one, other in runner_up.pairs)
    ways = [
        f"{' with '.join(map(str, codes))} for {order}"
        for order, codes in runner_up.served
    ]
    if len(ways) > MOST_NAMED:
        return f"{ways[0]}, with other boards for {len(ways) - 1} other builds"
    return " and ".join(ways)
