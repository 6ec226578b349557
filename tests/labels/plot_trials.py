"""Plots that put the drawing to the test: nothing, one, too long, too many, too far."""

from dataclasses import replace

from labels.match_card import Candidate, MatchCard, RunnerUp
from labels.plot_figure import Heading
from labels.plot_map import Half, Piece, WoodMap
from labels.plot_seasoning import RestBand, Seasoning, Series, Weight
from labels.plot_series import TapSeries, TapStage
from labels.plot_spectrum import Spectrum
from labels.plot_voice import Voice
from labels.plots import Plot
from tests.labels.plot_samples import (
    match,
    noise,
    peak,
    pieces,
    rail,
    seasoning,
    series,
    spectrum,
    stage,
    tap_series,
    tone,
    usual,
    voice,
    wood_map,
)

LONG = "the board that Hallvard set aside behind the drying rack in the winter of 1986"
JAPANESE = "蝦夷松の板、新川健二"


def nothing() -> dict[str, Plot]:
    """Return one of each plot with nothing to draw."""
    bare = replace(seasoning(), chosen=None, stubborn=(), siblings=())
    return {
        "seasoning": bare,
        "woodmap": replace(wood_map(), pieces=()),
        "voice": replace(voice(), rails=(rail("plate", False, 176),)),
        "spectrum": replace(spectrum(), levels_ppm=(0, 0, 0)),
        "series": replace(tap_series(), stages=()),
        "match": replace(match(), right=None),
        "silence": replace(spectrum(), levels_ppm=(1, 1_000_000)),
    }


def single() -> dict[str, Plot]:
    """Return one of each plot with as little to draw as there can be."""
    heading = Heading(title="One", where="One of each", entries=(7,))
    weight = Weight(rest_days=3, mass_mg=412_000)
    one = Series(name="L26-004-11", weights=(weight,))
    return {
        "seasoning": Seasoning(heading=heading, what="board", chosen=one),
        "sibling": Seasoning(heading=heading, what="board", siblings=(one,)),
        "woodmap": WoodMap(heading=heading, condition="", pieces=pieces(1, (0,))),
        "voice": Voice(heading=heading, rails=(rail("plate", False, None, along=71),)),
        "spectrum": Spectrum(
            heading=heading,
            start_millihertz=50_000,
            step_millihertz=500,
            levels_ppm=(1, 1_000_000, 1),
        ),
        "series": TapSeries(
            heading=heading,
            stages=(TapStage(name="joined", tones=(tone("along", 88, None),)),),
        ),
        "match": MatchCard(
            heading=heading,
            left=Candidate(name="1", length_um=560_000, width_um=215_000),
            right=Candidate(name="2", length_um=560_000, width_um=215_000),
        ),
    }


def renamed(plot: Plot, words: str) -> Plot:
    """Return a plot with other words wherever there are names."""
    heading = Heading(title=f"{words} " * 3, where=f"{words} " * 4, entries=(3,))
    match plot:
        case Seasoning(chosen=Series() as chosen):
            stubborn = tuple(replace(s, name=words, note=words) for s in plot.stubborn)
            rest = RestBand(low_mg=408_000, high_mg=416_000, why=words)
            return replace(
                plot,
                heading=heading,
                what=words,
                chosen=replace(chosen, name=words),
                stubborn=stubborn * 3,
                rest=rest,
            )
        case WoodMap():
            named = tuple(
                replace(p, name=words, group=f"{p.group} {words}") for p in plot.pieces
            )
            return replace(plot, heading=heading, pieces=named, condition=words)
        case Voice():
            rails = tuple(
                replace(
                    r,
                    stage=words,
                    rungs=tuple(replace(g, mode=f"{g.mode} {words}") for g in r.rungs),
                )
                for r in plot.rails
            )
            return replace(plot, heading=heading, rails=rails)
        case Spectrum():
            peaks = tuple(replace(p, mode=words) for p in plot.peaks)
            return replace(plot, heading=heading, peaks=peaks, how=words)
        case TapSeries():
            stages = tuple(replace(s, name=words) for s in plot.stages)
            return replace(plot, heading=heading, stages=stages)
        case MatchCard(left=Candidate() as left, right=Candidate() as right):
            return replace(
                plot,
                heading=heading,
                left=replace(left, name=words[:18]),
                right=replace(right, name=words[:18]),
                rows=tuple(replace(row, what=words) for row in plot.rows),
                why=(words,) * 5,
                runner_up=RunnerUp(name=words, why_not=words),
            )
    raise AssertionError(plot)


def many_boards() -> Seasoning:
    """Return a lot of 206 pairs, five of which will not come to rest."""
    return replace(
        seasoning(),
        siblings=tuple(
            series(str(n), 446 + 9 * noise(n), 412 + 9 * noise(n + 40), 45)
            for n in range(200)
        ),
        stubborn=tuple(
            series(f"L26-004-{n}", 466 + n, 425 + n, 90, "still losing")
            for n in range(5)
        ),
    )


def many_pieces() -> WoodMap:
    """Return a map of 200 pieces from nine sawyers, three of them chosen."""
    many = tuple(
        replace(piece, group=f"sawyer {n % 9}")
        for n, piece in enumerate(pieces(200, (3, 77, 150)))
    )
    return replace(wood_map(), pieces=many)


def many_rungs() -> Voice:
    """Return six stages with six tones each, close together."""
    tones = {"along": 71.3, "across": 72.0, "twist": 71.9}
    others = {"air": 70.1, "top": 90.0, "back": 90.1}
    rails = (rail(f"stage {n}", n > 3, 176 + n, **tones, **others) for n in range(6))
    return replace(voice(), rails=tuple(rails))


def many_stages() -> TapSeries:
    """Return a top at thirty stages."""
    stages = (
        stage(
            f"pass {n}",
            4200 - 40 * n,
            412.0 - 4 * n,
            tone("along", 88.1 - n, 88 - n),
            tone("across", 176 - 2 * n, 177 - 2 * n),
            tone("twist", 66 - 0.7 * n, 66 - 0.7 * n),
        )
        for n in range(30)
    )
    return replace(tap_series(), stages=tuple(stages))


def crowded() -> dict[str, Plot]:
    """Return plots with very much to draw."""
    peaks = tuple(peak(50 + 3.1 * n, f"mode {n}", 60) for n in range(20))
    return {
        "seasoning": many_boards(),
        "woodmap": many_pieces(),
        "voice": many_rungs(),
        "spectrum": replace(spectrum(), peaks=peaks),
        "series": many_stages(),
        "match": replace(match(), why=match().why * 6),
    }


FAR_OUT = Heading(title="Far out", where="No such wood", entries=tuple(range(9999)))


def a_trunk() -> Seasoning:
    """Return a trunk as heavy as a whole number can say, over nine years."""
    weights = tuple(
        Weight(rest_days=400 * n, mass_mg=9_007_199_254_740_991 - n * 10**14)
        for n in range(9)
    )
    chosen = Series(name="a trunk", weights=weights)
    return Seasoning(heading=FAR_OUT, what="trunk", chosen=chosen)


def far_halves() -> WoodMap:
    """Return a pair of which one half is a feather and the other a stone."""
    far = (
        Half(density_gram_per_m3=1, e_along_pa=1),
        Half(density_gram_per_m3=1_400_000, e_along_pa=900_000_000_000),
    )
    piece = Piece(name="far", halves=far, chosen=True)
    return WoodMap(heading=FAR_OUT, condition="", pieces=(piece,), typical=far[1])


def far_tones() -> Voice:
    """Return tones from one hertz to the end of hearing."""
    low = rail("plate", False, 1, along=1, across=19_999.9, twist=1.001)
    return Voice(heading=FAR_OUT, rails=(low, rail("strung", True, 9 * 10**9, air=98)))


def far_expectations() -> TapSeries:
    """Return tones that are nothing like what was expected."""
    thick = stage("thick", 99_999_999, 9e6, tone("along", 19_999.9, 0.001))
    thin = stage("thin", 1, 0.001, tone("along", 0.001, 19_999.9))
    return TapSeries(heading=FAR_OUT, stages=(thick, thin))


def unlike_boards() -> MatchCard:
    """Return a strip of veneer beside a slab."""
    veneer = Candidate(
        name="a veneer",
        length_um=2_400_000,
        width_um=9_000,
        ring_um=1,
        grain_millidegree=45_000,
    )
    slab = Candidate(
        name="a slab",
        length_um=300_000,
        width_um=900_000,
        ring_um=400_000,
        grain_millidegree=-45_000,
    )
    return replace(match(), left=veneer, right=slab)


def extreme() -> dict[str, Plot]:
    """Return plots with very large, very small and very unequal values."""
    return {
        "seasoning": a_trunk(),
        "woodmap": far_halves(),
        "voice": far_tones(),
        "spectrum": replace(
            spectrum(),
            start_millihertz=1_000_000,
            step_millihertz=10_000,
            band_millihertz=(1, 2_000_000),
            mains_millihertz=60_000,
        ),
        "series": far_expectations(),
        "match": unlike_boards(),
    }


def every() -> dict[str, Plot]:
    """Return every plot above, by name."""
    found: dict[str, Plot] = {}
    for kind, plots in (
        ("usual", usual()),
        ("nothing", nothing()),
        ("single", single()),
        ("long", {name: renamed(plot, LONG) for name, plot in usual().items()}),
        ("japanese", {n: renamed(plot, JAPANESE) for n, plot in usual().items()}),
        ("crowded", crowded()),
        ("extreme", extreme()),
    ):
        found |= {f"{kind} {name}": plot for name, plot in plots.items()}
    return found
