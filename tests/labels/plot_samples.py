"""Plots to draw, as the shop would see them."""

import math
from functools import cache
from hashlib import sha256
from io import BytesIO

from PIL import Image

from labels.match_card import Candidate, Comparison, MatchCard, RunnerUp
from labels.plot_figure import Heading
from labels.plot_map import Half, Piece, WoodMap
from labels.plot_seasoning import Ready, RestBand, Seasoning, Series, Weight
from labels.plot_series import StageTone, TapSeries, TapStage
from labels.plot_spectrum import Peak, Spectrum
from labels.plot_voice import Rail, Rung, Voice
from labels.plots import Plot

DAYS = (0, 14, 30, 61, 91, 122, 152, 182, 188)


def noise(number: int) -> float:
    """Return a number from -1 to 1 that looks like chance and is always the same."""
    digest = sha256(str(number).encode()).digest()
    return int.from_bytes(digest[:4]) / 2**31 - 1


def series(name: str, start: float, end: float, tau: float, note: str = "") -> Series:
    """Return the weights [g] of a board that comes to rest as it is used to do."""
    weights = tuple(
        Weight(
            rest_days=day,
            mass_mg=round(1000 * (end + (start - end) * math.exp(-day / tau))),
        )
        for day in DAYS
    )
    return Series(name=name, weights=weights, note=note)


def seasoning() -> Seasoning:
    """Return a lot of thirteen pairs, one of which will not come to rest."""
    return Seasoning(
        heading=Heading(
            title="Set 11 came to rest; set 19 has not",
            where="Ferrante spruce, lot L26-004, weighed in the rack at 44 % RH",
            entries=(86114, *range(86120, 86132)),
        ),
        what="pair",
        chosen=series("L26-004-11", 452, 412, 45),
        stubborn=(series("L26-004-19", 466, 425, 90, "still 2.4 g a month"),),
        siblings=tuple(
            series(
                f"L26-004-{n:02d}",
                446 + 8 * noise(n),
                412 + 7 * noise(n + 40),
                45 + 15 * noise(n + 80),
            )
            for n in range(11)
        ),
        fitted=tuple(
            Weight(
                rest_days=day,
                mass_mg=round(1000 * (412 + 40 * math.exp(-day / 45))),
            )
            for day in range(0, 211, 3)
        ),
        ready=Ready(likely_days=142, first_days=131, last_days=158),
        rest=RestBand(low_mg=408_000, high_mg=416_000, why="room at 8.2 to 8.8 % EMC"),
        least_days=90,
        preferred_days=180,
    )


def pieces(count: int, chosen: tuple[int, ...]) -> tuple[Piece, ...]:
    """Return tapped boards and pairs, strewn as spruce is."""
    found = []
    for n in range(count):
        density = 435 + 60 * noise(n)
        modulus = 8 + (density - 375) * 0.05 + 1.5 * noise(n + 300)
        halves = tuple(
            Half(
                density_gram_per_m3=round(1000 * (density + 3 * noise(n + 500 + k))),
                e_along_pa=round(1e9 * (modulus + 0.3 * noise(n + 700 + k))),
            )
            for k in range(1 if n % 4 == 0 else 2)
        )
        group = ("Ferrante", "Ferrante", "Valdesund")[n % 3]
        name = f"L26-004-{n:02d}"
        found.append(Piece(name=name, halves=halves, group=group, chosen=n in chosen))
    return tuple(found)


def wood_map() -> WoodMap:
    """Return a map of eighteen sets, one of them chosen."""
    return WoodMap(
        heading=Heading(
            title="Set 11 was chosen from 18 sets ready this week",
            where="R = √(E/ρ³), sound speed over density; a measured number, "
            "not a promise of tone",
            entries=(86114,),
        ),
        condition="at 12 % MC",
        pieces=pieces(18, (11,)),
        typical=Half(density_gram_per_m3=2_000, e_along_pa=600_000_000),
    )


def rail(stage: str, closed: bool, grams: int | None, **tones: float) -> Rail:
    """Return one stage of the ladder, its tones in Hz."""
    return Rail(
        stage=stage,
        closed=closed,
        mass_mg=None if grams is None else grams * 1000,
        rungs=tuple(
            Rung(mode=mode, frequency_millihertz=round(1000 * tone))
            for mode, tone in tones.items()
        ),
    )


def voice() -> Voice:
    """Return the four stages of the instrument of the worked example."""
    return Voice(
        heading=Heading(
            title="How the voice moved",
            where="26-0147-3, tapped at four stages; Hz, mass of the piece below",
            entries=(1, 5, 9, 12, 80),
        ),
        rails=(
            rail("plate", False, 176, along=71.3, across=150.5, twist=52.3),
            rail("braced", False, 231, along=118.0, across=201.0, twist=93.0),
            rail("closed", True, 1422, air=103.1, top=204.6, back=248.9),
            rail("strung", True, 1986, air=98.4, top=191.2, back=241.0),
        ),
    )


@cache
def levels(count: int = 2400) -> tuple[int, ...]:
    """Return a spectrum with four modes and some hum, in 0.5 Hz."""
    modes = (
        (52.3, 70, 0.6), (71.3, 84, 1.0), (150.5, 60, 0.5),
        (312.4, 50, 0.2), (50.0, 400, 0.06), (100.0, 400, 0.02),
    )  # fmt: skip
    found = []
    for n in range(count):
        level = 3e-4 * (1.2 + noise(n))
        for tone, q, gain in modes:
            level += gain / math.hypot(1, q * (1 - (n * 0.5 / tone) ** 2))
        found.append(level)
    highest = max(found)
    return tuple(round(1_000_000 * level / highest) for level in found)


def peak(tone: float, mode: str = "", q: float | None = None) -> Peak:
    """Return a peak at a frequency [Hz]; one with a mode was chosen."""
    return Peak(
        frequency_millihertz=round(1000 * tone),
        mode=mode,
        q_milli=None if q is None else round(1000 * q),
        chosen=bool(mode),
    )


def spectrum() -> Spectrum:
    """Return the spectrum of a tap with three chosen peaks and one left alone."""
    return Spectrum(
        heading=Heading(
            title="Along, across and twist stand apart; the mains is none of them",
            where="L26-004-11.A, free plate tapped at the corner, 0.5 Hz a line",
            entries=(86114,),
        ),
        start_millihertz=0,
        step_millihertz=500,
        levels_ppm=levels(),
        peaks=(
            peak(52.3, "twist", 70.1),
            peak(71.3, "along", 84),
            peak(150.5, "across", 60),
            peak(312.4, "", 50),
        ),
        mains_millihertz=50_000,
        band_millihertz=(30_000, 800_000),
        how="6 taps, 48 kHz",
    )


def tone(mode: str, measured: float | None, expected: float | None) -> StageTone:
    """Return a tone [Hz] of one stage."""
    return StageTone(
        mode=mode,
        measured_millihertz=None if measured is None else round(1000 * measured),
        expected_millihertz=None if expected is None else round(1000 * expected),
    )


def stage(name: str, thick: int, grams: float, *tones: StageTone) -> TapStage:
    """Return a stage with its thickness [um] and mass [g]."""
    mass_mg = round(1000 * grams)
    return TapStage(name=name, thickness_um=thick, mass_mg=mass_mg, tones=tones)


def tap_series() -> TapSeries:
    """Return a top at five stages."""
    rows = (
        ("joined", 4200, 412.0, (88.1, None), (176.0, None), (66.0, None)),
        ("planed", 3600, 352.3, (75.9, 75.5), (151.0, 150.9), (55.3, 56.6)),
        ("sanded", 3200, 313.4, (67.0, 67.4), (134.9, 134.2), (48.7, 49.2)),
        ("edges thinned", 2950, 289.2, (62.4, 61.8), (122.0, 124.4), (44.0, 44.9)),
        ("soundhole cut", 2950, 281.0, (60.1, None), (120.8, None), (43.8, None)),
    )
    return TapSeries(
        heading=Heading(
            title="The top came down as expected, but for the twist",
            where="L26-004-11, joined top of 26-0147-3, tapped at five stages, 44 % RH",
            entries=(86114, 86120, 86131),
        ),
        stages=tuple(
            stage(
                name,
                thick,
                grams,
                tone("along", *along),
                tone("across", *across),
                tone("twist", *twist),
            )
            for name, thick, grams, along, across, twist in rows
        ),
    )


def photograph(size: tuple[int, int] = (430, 1120), kind: str = "JPEG") -> bytes:
    """Return a picture of stripes, to stand in for a face."""
    stripes = Image.new("RGB", size, (230, 205, 160))
    for x in range(0, size[0], 9):
        stripes.paste((170, 130, 80), (x, 0, min(x + 2, size[0]), size[1]))
    out = BytesIO()
    stripes.save(out, format=kind)
    return out.getvalue()


def match() -> MatchCard:
    """Return two sister boards and the pair that came second."""
    numbers = (
        ("density, kg/m³", "431", "433", "0.5 %"),
        ("E along, GPa", "13.1", "13.4", "2.3 %"),
        ("E across, GPa", "0.84", "0.81", "3.6 %"),
        ("G, GPa", "0.79", "0.80", "1.3 %"),
        ("R, m⁴/(kg s)", "12.8", "12.9", "0.6 %"),
        ("thickness, mm", "4.20", "4.22", "0.02"),
        ("width, mm", "215", "212", "3"),
        ("rings, mm", "1.10", "1.18", "0.08"),
        ("ring angle", "88°", "87°", "1°"),
        ("house grade", "A", "A", "same"),
    )
    return MatchCard(
        heading=Heading(
            title="11.A and 11.B are sisters and the nearest of 66 pairs",
            where="Top for 26-0147-3, Tidewarden; both at rest at 44 % RH",
            entries=(86114, 86120),
        ),
        left=Candidate(
            name="L26-004-11.A",
            length_um=560_000,
            width_um=215_000,
            ring_um=1100,
            grain_millidegree=800,
        ),
        right=Candidate(
            name="L26-004-11.B",
            length_um=560_000,
            width_um=212_000,
            ring_um=1180,
            grain_millidegree=500,
        ),
        rows=tuple(
            Comparison(what=what, left=a, right=b, difference=by)
            for what, a, b, by in numbers
        ),
        why=(
            "Sisters: sawn one after the other from one billet.",
            "Density within 1\u2009%, stiffness along within 3\u2009%; the policy "
            "asks for 3\u2009% and 8\u2009%.",
            "Wide enough for the Tidewarden top by 12\u2009mm.",
        ),
        runner_up=RunnerUp(
            name="L26-004-07.A with L26-004-09.B",
            why_not="Nearer in density (0.2\u2009%), but no sisters, and 9.1\u2009% "
            "apart in stiffness along the grain.",
        ),
    )


def usual() -> dict[str, Plot]:
    """Return one of each plot, as the shop would see it."""
    return {
        "seasoning": seasoning(),
        "woodmap": wood_map(),
        "voice": voice(),
        "spectrum": spectrum(),
        "series": tap_series(),
        "match": match(),
    }
