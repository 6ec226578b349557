"""Plots of land on which wood grew, as GeoJSON: read, checked and written again.

What is written is one way only: a plot a line, longitude first, at least six decimals,
every ring closed and running by the right-hand rule.

Source: RFC 7946; Regulation (EU) 2023/1115, article 2(28) and article 9(1)(d).
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import Any, Literal

from ledger.errors import RefusedError
from ledger.trade import plotfiles, rings
from ledger.trade.plotfiles import Member

Position = tuple[Decimal, Decimal]  # longitude, latitude [degrees, WGS 84]

# Source: Regulation (EU) 2023/1115, article 2(28).
LEAST_DECIMALS = 6
POINT_HECTARES = 4
# So many are worked through in seconds; common practice, no source.
MOST_PLOTS = 10_000
MOST_POSITIONS = 5_000
MOST_DECIMALS = rings.DECIMALS
LARGEST = (180, 90)
NAMES = ("longitude", "latitude")
# How a point says its plot's size, if it does; common practice, no source.
AREA = "area"


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """A plot: a point, or the ring around it and the rings of what is left out."""

    kind: Literal["Point", "Polygon"]
    rings: tuple[tuple[Position, ...], ...]

    @property
    def hectares(self) -> float | None:
        """The area within [ha], to about half a per cent; None for a point."""
        if self.kind == "Point":
            return None
        return _within([whole_spots(ring) for ring in self.rings])


@dataclass(frozen=True, slots=True, kw_only=True)
class Plots:
    """The plots of a file, and what should be said of them beside.

    names  what to call each, by its place in the file: plot 3, or plot 3, part 2
    """

    plots: tuple[Plot, ...]
    names: tuple[str, ...]
    notes: tuple[str, ...] = ()

    @property
    def points(self) -> int:
        """How many are points."""
        return sum(plot.kind == "Point" for plot in self.plots)


def read_plots(data: bytes) -> Plots:
    """Read the plots in a GeoJSON file, or refuse it in a sentence.

    A position's third number, the height, is left out.

    Source: RFC 7946 sections 3.1 to 3.3 and 4.
    """
    found = [
        each
        for where, member in plotfiles.geometries(data)
        for each in _plots(member, where)
    ]
    if len(found) > MOST_PLOTS:
        raise RefusedError(
            f"the file has {len(found)} plots, and {MOST_PLOTS} are the most that one "
            f"may have: file those of this lot alone"
        )
    names, plots = zip(*found, strict=True)
    _require_each_once(plots, names)
    return Plots(plots=plots, names=names, notes=tuple(_notes(plots)))


def write_plots(
    plots: Iterable[tuple[Plot, Mapping[str, str]]],
) -> bytes:
    """Write plots with their properties: the same plots give the same bytes.

    Source: RFC 7946 sections 3.1.6 (rings), 3.2 and 3.3.
    """
    lines = ",\n".join(_feature(plot, told) for plot, told in plots)
    text = f'{{"type":"FeatureCollection","features":[\n{lines}\n]}}\n'
    return text.encode()


def whole_spots(ring: Sequence[Position]) -> list[rings.Spot]:
    """Return the positions of a ring in whole units of 10^-20 degree, exactly.

    Source: RFC 7946 section 4: positions are longitude and latitude.
    """
    return [(_whole(x), _whole(y)) for x, y in ring]


def middle(plots: Sequence[Plot]) -> str:
    """Say where plots lie, by the middle of the box around them.

    Source: common practice, no source; ISO 6709 for the order of the two.
    """
    spots = [spot for plot in plots for ring in plot.rings for spot in ring]
    sides = zip(*spots, strict=True)
    x, y = ((min(side) + max(side)) / 2 for side in sides)
    north, east = "N" if y >= 0 else "S", "E" if x >= 0 else "W"
    return f"{abs(y):.2f}° {north}, {abs(x):.2f}° {east}"


def _plots(member: Member, where: str) -> list[tuple[str, Plot]]:
    """Return the plots of one geometry, which may have many, each after its name."""
    kind, parts = member.kind, member.coordinates
    many = kind.startswith("Multi")
    single: Any = kind.removeprefix("Multi")
    items = parts if many else [parts]
    if not isinstance(items, list) or not items:
        raise RefusedError(f"{where}: its {kind} has no coordinates: draw the plot")
    names = [f"{where}, part {n}" if many else where for n in range(1, len(items) + 1)]
    make = _point if single == "Point" else _polygon
    return [
        (name, make(item, name, member))
        for item, name in zip(items, names, strict=True)
    ]


def _point(item: Any, where: str, member: Member) -> Plot:
    spot = _position(item, where)
    area = next((v for k, v in member.properties if k.casefold() == AREA), None)
    if isinstance(area, Decimal) and area > POINT_HECTARES:
        raise RefusedError(
            f"{where} is a point, and its area is {area} ha: a plot of more than "
            f"{POINT_HECTARES} ha needs its outline, a polygon"
        )
    return _precise(Plot(kind="Point", rings=((spot,),)), where)


def _polygon(item: Any, where: str, _: Member) -> Plot:
    if not isinstance(item, list) or not item:
        raise RefusedError(f"{where}: its polygon has no ring: draw the plot")
    named = [where] + [f"{where}, hole {n}" for n in range(1, len(item))]
    read = [_ring(ring, name) for ring, name in zip(item, named, strict=True)]
    spots = [whole_spots(ring) for ring in read]
    for ring, name in zip(spots, named, strict=True):
        _require_simple(ring, name)
    for number, hole in enumerate(spots[1:], start=1):
        _require_within(hole, spots[0], f"{where}, hole {number}")
    if _within(spots) <= 0:
        raise RefusedError(
            f"{where}: what is left out of it is as large as the plot or larger: draw "
            f"its holes again, none over another"
        )
    return _precise(Plot(kind="Polygon", rings=tuple(read)), where)


def _within(spots: Sequence[rings.Ring]) -> float:
    """Return the area within a ring [ha], less what the others leave out of it."""
    outer, *holes = map(rings.hectares, spots)
    return outer - sum(holes)


def _ring(item: Any, where: str) -> tuple[Position, ...]:
    if not isinstance(item, list) or not all(isinstance(each, list) for each in item):
        raise RefusedError(f"{where}: a ring is a list of positions, and this is none")
    ring = tuple(_position(each, where) for each in item)
    if len(ring) > MOST_POSITIONS:
        raise RefusedError(
            f"{where}: its ring has {len(ring)} positions, and {MOST_POSITIONS} are "
            f"the most: simplify the outline"
        )
    if len(ring) < 4:
        raise RefusedError(
            f"{where}: its ring has {len(ring)} positions, and a ring has four or more"
        )
    if ring[0] != ring[-1]:
        raise RefusedError(
            f"{where}: its ring is open: it begins at {_said(ring[0])} and ends at "
            f"{_said(ring[-1])}; let it end where it begins"
        )
    if any(abs(b[0] - a[0]) > 180 for a, b in pairwise(ring)):
        raise RefusedError(
            f"{where} reaches over the 180th meridian: cut it there into two polygons "
            f"(RFC 7946 section 3.1.9)"
        )
    return ring


def _position(item: Any, where: str) -> Position:
    """Return longitude and latitude; a height beside them is left out."""
    if not isinstance(item, list) or not all(isinstance(n, Decimal) for n in item):
        raise RefusedError(
            f"{where}: a position is a list of numbers, longitude first, and this is "
            f"none"
        )
    if not 2 <= len(item) <= 3:
        raise RefusedError(
            f"{where}: a position has longitude, latitude and at most a height, and "
            f"this has {len(item)}"
        )
    spot = item[0], item[1]
    _require_on_globe(spot, where)
    for number in spot:
        if _decimals(number) > MOST_DECIMALS:
            raise RefusedError(
                f"{where}: a number has {_decimals(number)} decimals, and "
                f"{MOST_DECIMALS} are the most: round it to what was measured"
            )
    return spot


def _require_on_globe(spot: Position, where: str) -> None:
    """Refuse a position that is nowhere, and say what may have happened to it."""
    beyond = [abs(n) > most for n, most in zip(spot, LARGEST, strict=True)]
    if not any(beyond):
        return
    if max(map(abs, spot)) > 360:
        raise RefusedError(
            f"{where}: {_said(spot)} are no degrees but look like the metres of a map "
            f"grid: export the plots in WGS 84 (EPSG:4326)"
        )
    which = beyond.index(True)
    hint = ""
    if not beyond[0] and abs(spot[0]) <= LARGEST[1]:
        hint = "; are the two swapped? Longitude comes first"
    raise RefusedError(
        f"{where}: {spot[which]} is no {NAMES[which]} from -{LARGEST[which]} to "
        f"{LARGEST[which]}{hint}"
    )


def _precise(plot: Plot, where: str) -> Plot:
    """Return a plot whose positions have six decimals, else refuse it.

    A writer of JSON may leave out noughts at a number's end, so that one in ten is
    shorter; where half of them or more are, the plot was never so exact.
    """
    numbers = [n for ring in plot.rings for spot in ring for n in spot]
    short = [n for n in numbers if _decimals(n) < LEAST_DECIMALS]
    if 2 * len(short) >= len(numbers):
        raise RefusedError(
            f"{where}: {len(short)} of its {len(numbers)} numbers have fewer than "
            f"{LEAST_DECIMALS} decimals, such as {short[0]}, and Regulation (EU) "
            f"2023/1115 asks for at least {LEAST_DECIMALS}: export them all, with the "
            f"noughts at the end"
        )
    return plot


def _decimals(number: Decimal) -> int:
    return max(0, -int(number.as_tuple().exponent))


def _require_simple(ring: rings.Ring, where: str) -> None:
    crossing = rings.first_crossing(ring)
    if crossing is not None:
        raise RefusedError(
            f"{where}: its outline meets itself near {_near(crossing)}: draw it so "
            f"that no side crosses or touches another"
        )
    if rings.doubled_area(ring) == 0:
        raise RefusedError(f"{where}: its ring holds no land: draw the plot again")


def _require_within(hole: rings.Ring, outer: rings.Ring, where: str) -> None:
    if rings.crosses(hole, outer) or not all(rings.is_within(s, outer) for s in hole):
        raise RefusedError(
            f"{where} is not wholly within its plot: what is left out lies inside"
        )


def _require_each_once(plots: Sequence[Plot], names: Sequence[str]) -> None:
    seen: dict[object, str] = {}
    for name, plot in zip(names, plots, strict=True):
        first = seen.setdefault(_shape(plot), name)
        if first != name:
            raise RefusedError(f"{name} is {first} once more: leave one of them out")


def _shape(plot: Plot) -> object:
    """Return what two plots share that are the same, wherever their rings begin."""
    return plot.kind, frozenset((len(ring), frozenset(ring)) for ring in plot.rings)


def _notes(plots: Sequence[Plot]) -> list[str]:
    points = sum(plot.kind == "Point" for plot in plots)
    wrong = sum(
        _runs_left(ring) != (place == 0)
        for plot in plots
        if plot.kind == "Polygon"
        for place, ring in enumerate(plot.rings)
    )
    notes = []
    if points:
        said = "1 plot is a point" if points == 1 else f"{points} plots are points"
        notes.append(
            f"{said}: that will do up to {POINT_HECTARES} ha, and a larger one needs "
            f"its outline"
        )
    if wrong:
        said = "1 ring runs" if wrong == 1 else f"{wrong} rings run"
        notes.append(
            f"{said} against the right-hand rule, and will be written the right way "
            f"round"
        )
    return notes


def _runs_left(ring: Sequence[Position]) -> bool:
    return rings.doubled_area(whole_spots(ring)) > 0


def _whole(number: Decimal) -> int:
    """Return a number of degrees in whole units of 10^-20, exactly."""
    sign, digits, exponent = number.as_tuple()
    amount = int("".join(map(str, digits))) * 10 ** (MOST_DECIMALS + int(exponent))
    whole: int = -amount if sign else amount
    return whole


def _near(side: rings.Side) -> str:
    x, y = ((a + b) / 2 / rings.DEGREE for a, b in zip(*side, strict=True))
    return f"{x:.6f}, {y:.6f}"


def _said(spot: Position) -> str:
    return ", ".join(f"{n}" for n in spot)


def _feature(plot: Plot, told: Mapping[str, str]) -> str:
    """Return one plot as a line: an outer ring runs left round, a hole right round."""
    if plot.kind == "Point":
        coordinates = _written(plot.rings[0][0])
    else:
        right = [
            ring if _runs_left(ring) == (place == 0) else ring[::-1]
            for place, ring in enumerate(plot.rings)
        ]
        coordinates = _listed(_listed(map(_written, ring)) for ring in right)
    properties = json.dumps(dict(told), ensure_ascii=False, separators=(",", ":"))
    return (
        f'{{"type":"Feature","properties":{properties},"geometry":'
        f'{{"type":"{plot.kind}","coordinates":{coordinates}}}}}'
    )


def _written(spot: Position) -> str:
    return _listed(map(_number, spot))


def _number(number: Decimal) -> str:
    """Write a number as it was given, with noughts to six decimals."""
    places = max(LEAST_DECIMALS, _decimals(number))
    text = f"{number:.{places}f}"
    return text.removeprefix("-") if number == 0 else text


def _listed(items: Iterable[str]) -> str:
    return f"[{','.join(items)}]"
