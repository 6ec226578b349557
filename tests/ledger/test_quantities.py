"""Tests of quantities, in and out."""

import doctest
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger import quantities as q
from ledger.errors import RefusedError

Read = Callable[[str], int]
Print = Callable[[int], str]


@pytest.mark.parametrize(
    ("read", "text", "small"),
    [
        (q.mass_mg, "412 g", 412_000),
        (q.mass_mg, "1.986 kg", 1_986_000),
        (q.mass_mg, "14.5 oz", 411_068),
        (q.mass_mg, "2 lb", 907_185),
        (q.length_um, "0.125 in", 3_175),
        (q.length_um, "3/32 in", 2_381),
        (q.length_um, "12 5/8 in", 320_675),
        (q.length_um, "2,9 mm", 2_900),
        (q.length_um, "550mm", 550_000),
        (q.area_mm2, "1 in2", 645),
        (q.volume_mm3, "1 bd ft", 2_359_737),
        (q.volume_mm3, "1.66 dm³", 1_660_000),
        (q.density_gram_per_m3, "432 kg/m3", 432_000),
        (q.density_gram_per_m3, "1 lb/ft3", 16_018),
        (q.moisture_ppm, "7.8 %", 78_000),
        (q.moisture_ppm, "7.8% MC", 78_000),
        (q.share_ppm, "25 ppm", 25),
        (q.humidity_ppm, "45 %RH", 450_000),
        (q.humidity_ppm, "45 % RH", 450_000),
        (q.frequency_millihertz, "71.29 Hz", 71_290),
        (q.temperature_millikelvin, "20 °C", 293_150),
        (q.temperature_millikelvin, "68 °F", 293_150),
        (q.temperature_millikelvin, "-40 °F", 233_150),
        (q.temperature_millikelvin, "\u221240 °C", 233_150),
        (q.temperature_millikelvin, "0 K", 0),
        (q.factor_milli, "85.2", 85_200),
        (q.pressure_pa, "12.3 GPa", 12_300_000_000),
        (q.force_millinewton, "50 N", 50_000),
        (q.force_millinewton, "1 lbf", 4_448),
        (q.compliance_nm_per_n, "0.031 mm/N", 31_000),
        (q.angle_millidegree, "1.5°", 1_500),
        (q.angle_millidegree, "-1.5 deg", -1_500),
        (q.span_days, "188 days", 188),
        (q.span_seconds, "45 min", 2_700),
        (q.span_microseconds, "12.5 ms", 12_500),
    ],
)
def test_what_the_bench_writes_becomes_a_small_integer(
    read: Read, text: str, small: int
) -> None:
    """Each quantity is read into the unit that its name says, rounded half up."""
    assert read(text) == small
    assert q.is_unit_named(read.__name__)


@pytest.mark.parametrize(
    ("printed", "text"),
    [
        (q.millimetres(2_900), "2.9 mm"),
        (q.millimetres(2_900, places=2), "2.90 mm"),
        (q.millimetres(12_345_678), "12 345.678 mm"),
        (q.millimetres(0), "0 mm"),
        (q.inches(3_175), "0.125 in"),
        (q.grams(1_986_000), "1986 g"),
        (q.grams(71_391_000), "71 391 g"),
        (q.kilograms(1_986_000, places=1), "2.0 kg"),
        (q.ounces(411_068), "14.5 oz"),
        (q.pounds(907_185), "2.00 lb"),
        (q.square_centimetres(118_000), "1180 cm²"),
        (q.cubic_decimetres(1_660_000), "1.66 dm³"),
        (q.cubic_metres(1_660_000), "0.00166 m³"),
        (q.kilograms_per_cubic_metre(432_000), "432 kg/m³"),
        (q.hertz(71_290), "71.29 Hz"),
        (q.percent(78_000), "7.8 %"),
        (q.humidity(450_000), "45 %RH"),
        (q.factor(85_200), "85.2"),
        (q.celsius(293_150), "20 °C"),
        (q.celsius(272_900), "\u22120.25 °C"),
        (q.celsius(273_149, places=1), "0.0 °C"),
        (q.fahrenheit(293_150), "68.0 °F"),
        (q.gigapascals(12_350_000_000, places=1), "12.4 GPa"),
        (q.newtons(50_000), "50 N"),
        (q.millimetres_per_newton(31_000), "0.031 mm/N"),
        (q.degrees(-1_500), "\u22121.5°"),
        (q.days(1), "1 day"),
        (q.days(188), "188 days"),
    ],
)
def test_a_quantity_is_printed_as_the_papers_want_it(printed: str, text: str) -> None:
    """A thin space before the unit and between thousands, from five digits on."""
    assert printed == text.replace(" ", q.THIN_SPACE)


@pytest.mark.parametrize(
    ("read", "show", "least"),
    [
        (q.length_um, q.millimetres, 0),
        (q.area_mm2, q.square_centimetres, 0),
        (q.volume_mm3, q.cubic_decimetres, 0),
        (q.volume_mm3, q.cubic_metres, 0),
        (q.mass_mg, q.grams, 0),
        (q.mass_mg, q.kilograms, 0),
        (q.density_gram_per_m3, q.kilograms_per_cubic_metre, 0),
        (q.frequency_millihertz, q.hertz, 0),
        (q.moisture_ppm, q.percent, 0),
        (q.factor_milli, q.factor, 0),
        (q.temperature_millikelvin, q.celsius, 0),
        (q.pressure_pa, q.gigapascals, 0),
        (q.force_millinewton, q.newtons, 0),
        (q.compliance_nm_per_n, q.millimetres_per_newton, 0),
        (q.angle_millidegree, q.degrees, -360_000),
        (q.span_days, q.days, 0),
    ],
)
@given(data=st.data())
def test_printing_loses_nothing_that_is_kept(
    read: Read, show: Print, least: int, data: st.DataObject
) -> None:
    """What is printed without a number of places is read back to the same integer."""
    small = data.draw(st.integers(least, 2**53 - 1))

    assert read(show(small)) == small


@given(st.integers(0, 10_000_000))
def test_thousandths_of_an_inch_lose_nothing(thou: int) -> None:
    """A length written in thousandths of an inch is printed as it was written."""
    text = f"{thou // 1000}.{thou % 1000:03d} in"
    printed = q.inches(q.length_um(text))

    assert printed.replace(q.THIN_SPACE, "") == text.replace(" ", "")


@pytest.mark.parametrize(
    ("read", "text", "answer"),
    [
        (q.humidity_ppm, "101 %RH", "is above 100 %RH; read the hygrometer again"),
        (q.temperature_millikelvin, "-1 K", "is below absolute zero; read it again"),
        (q.temperature_millikelvin, "-274 °C", "is below absolute zero; read it again"),
        (q.length_um, "-2 mm", "below zero; a length is written like 2.9 mm or"),
        (q.length_um, "412 g", "is not a length; write it like 2.9 mm or 3/32 in"),
        (q.mass_mg, "54 gramms", "is not a mass; write it like 54 g or 1.9 oz"),
        (q.frequency_millihertz, "71 mHz", "is not a frequency; write it like"),
        (q.length_um, "99999999999999 m", "more than the ledger can hold"),
    ],
)
def test_a_wrong_quantity_is_answered_in_one_sentence(
    read: Read, text: str, answer: str
) -> None:
    """The answer quotes what was written and says how it is written or what to do."""
    with pytest.raises(RefusedError) as refused:
        read(text)

    assert str(refused.value).startswith(repr(text))
    assert answer in str(refused.value)


@pytest.mark.parametrize(
    "field", ["length_um", "max_above_emc_ppm", "root_version", "index", "price_minor"]
)
def test_an_integer_says_its_unit(field: str) -> None:
    """A field ends in a known suffix, or is one of the counts."""
    assert q.is_unit_named(field)


@pytest.mark.parametrize(
    "field", ["length", "_um", "frequency_mhz", "board_number", "maximum", "mass_g", ""]
)
def test_an_integer_without_its_unit_is_known(field: str) -> None:
    """A field that only looks like one of them is not."""
    assert not q.is_unit_named(field)


def test_the_examples_in_the_docstring_run() -> None:
    """What the module shows is what it does."""
    result = doctest.testmod(q)

    assert result.attempted > 0
    assert result.failed == 0
