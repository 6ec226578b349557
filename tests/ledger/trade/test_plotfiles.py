"""Files of plots: what they hold, and one sentence for each that is none."""

from decimal import Decimal

import pytest

from ledger.errors import RefusedError
from ledger.trade import plotfiles

POINT = '{"type":"Point","coordinates":[11.600120,46.300127]}'
FEATURE = f'{{"type":"Feature","properties":{{"n":"板"}},"geometry":{POINT}}}'
MANY = f'{{"type":"FeatureCollection","features":[{FEATURE},{FEATURE}]}}'


def read(text: str | bytes) -> list[tuple[str, plotfiles.Member]]:
    """Return what a file holds."""
    return list(
        plotfiles.geometries(text if isinstance(text, bytes) else text.encode())
    )


@pytest.mark.parametrize("text", [POINT, FEATURE, f"\ufeff{FEATURE}", f" {POINT}\n"])
def test_one_plot_may_stand_alone(text: str) -> None:
    """A geometry or a feature is a file too (RFC 7946 section 3)."""
    ((name, member),) = read(text)

    assert (name, member.kind) == ("plot 1", "Point")
    assert member.coordinates == [Decimal("11.600120"), Decimal("46.300127")]


def test_numbers_keep_the_noughts_at_their_end() -> None:
    """The law counts decimals, so that 11.600120 is not 11.60012."""
    ((_, member),) = read(POINT)

    assert str(member.coordinates[0]) == "11.600120"


def test_plots_are_counted_as_they_stand() -> None:
    """And bring their properties."""
    assert [name for name, _ in read(MANY)] == ["plot 1", "plot 2"]
    assert read(MANY)[0][1].properties == (("n", "板"),)


@pytest.mark.parametrize("size", range(1, len(MANY)))
def test_every_file_that_was_cut_off_is_told_to_be(size: int) -> None:
    """At whatever byte the copying ended, also in the middle of a letter."""
    with pytest.raises(RefusedError, match="ends in the middle"):
        read(MANY.encode()[:size])


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (b"", "the file is empty"),
        (b" \n\t", "the file is empty"),
        (b"\x00\x00\x27\x0a" + bytes(96), "this is a shapefile"),
        (b"PK\x03\x04rest", "a packed folder"),
        (b"\xff\xfe{\x00", "text in UTF-16"),
        (b"%PDF-1.7", "this is a PDF"),
        ("<kml></kml>", "this is XML"),
        ("緯度,経度\n46.3,11.6", "this is no GeoJSON"),
        ("緯度,経度".encode("shift_jis"), "no text in UTF-8"),
        ("[11.6, 46.3]", "this is no GeoJSON"),
        ('{"type":"Point","coordinates":[NaN,46.3]}', "NaN is no coordinate"),
        ('{"type":"Point","coordinates":[1e99999999999999999999,4]}', "no coordinate"),
        ('{"type":"Point","type":"Point"}', "'type' is said twice"),
        (f"{POINT} 以上", "is no JSON at letter"),
        ('{"type":"Point",,}', "is no JSON at letter"),
        ('{"a":' * 100_000 + "}", "brackets within brackets"),
        ('{"type":"FeatureCollection","features":[]}', "holds no plot"),
        ('{"type":"FeatureCollection"}', "holds no plot"),
        ('{"type":"FeatureCollection","features":[3]}', "plot 1 is no object"),
        (f'{{"type":"FeatureCollection","features":[{POINT}]}}', "and no Feature"),
        ('{"type":"Feature","geometry":null}', "no place on the map"),
        ('{"type":"Feature","properties":3,"geometry":{}}', "are no object"),
        ('{"type":"LineString","coordinates":[]}', "plot 1 is a line"),
        ('{"type":"GeometryCollection","geometries":[]}', "and a plot is a Point"),
        ('{"type":["Point"],"coordinates":[]}', "nothing known"),
        ("{}", "nothing known"),
        (
            '{"type":"Point","crs":{"type":"name","properties":{"name":"EPSG:25832"}}}',
            "not WGS 84",
        ),
    ],
)
def test_what_is_no_file_of_plots_is_refused(text: str | bytes, why: str) -> None:
    """Each with what it is and what to do."""
    with pytest.raises(RefusedError, match=why):
        read(text)


@pytest.mark.parametrize(
    "name", ["urn:ogc:def:crs:OGC:1.3:CRS84", "urn:ogc:def:crs:EPSG::4326"]
)
def test_the_one_coordinate_system_may_be_named(name: str) -> None:
    """As files from before RFC 7946 did."""
    crs = f'"crs":{{"type":"name","properties":{{"name":"{name}"}}}}'

    assert read(POINT[:-1] + f",{crs}}}")


def test_a_file_without_end_is_refused() -> None:
    """Before anybody reads it."""
    with pytest.raises(RefusedError, match="25000000 are the most"):
        read(b"{" + b" " * plotfiles.LARGEST_FILE)
