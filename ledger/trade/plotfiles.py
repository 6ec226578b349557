"""What a file of plots holds: its geometries, or in a sentence why it is none.

Numbers are read as they are written, digit by digit, for the law counts decimals.

Source: RFC 8259 (JSON) and RFC 7946 (GeoJSON).
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any

from ledger.errors import RefusedError

LARGEST_FILE = 25_000_000  # bytes; common practice, no source
KINDS = ("Point", "MultiPoint", "Polygon", "MultiPolygon")
LINES = ("LineString", "MultiLineString")
# Names of the one coordinate system that GeoJSON has, in files from before RFC 7946.
WGS_84 = ("CRS84", "EPSG::4326", "EPSG:4326")
# How files begin that are of another kind.
BEGINNINGS = (
    (b"\x00\x00\x27\x0a", "a shapefile"),
    (b"PK\x03\x04", "a packed folder, such as a shapefile's or a KMZ"),
    (b"SQLite format 3", "a database, such as a GeoPackage"),
    (b"\xff\xfe", "text in UTF-16"),
    (b"\xfe\xff", "text in UTF-16"),
    (b"%PDF", "a PDF"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
)
EXPORT = "export the plots as GeoJSON in WGS 84 (EPSG:4326)"


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """One geometry of a file, as it stands there, and the properties beside it."""

    kind: str
    coordinates: Any
    properties: tuple[tuple[str, Any], ...] = ()


def geometries(data: bytes) -> Iterator[tuple[str, Member]]:
    """Yield every geometry of a file with what to call it, such as plot 3.

    Source: RFC 7946 sections 3, 3.2 and 3.3.
    """
    whole = _object(_parsed(_text(data)))
    _require_degrees(whole)
    kind = whole.get("type")
    if kind == "FeatureCollection":
        features = whole.get("features")
        if not isinstance(features, list) or not features:
            raise RefusedError(f"the file holds no plot: draw the plots, then {EXPORT}")
        for number, feature in enumerate(features, start=1):
            yield f"plot {number}", _of_feature(feature, f"plot {number}")
    elif kind == "Feature":
        yield "plot 1", _of_feature(whole, "plot 1")
    else:
        yield "plot 1", _geometry(whole, "plot 1")


def _text(data: bytes) -> str:
    """Return the text of a file, or say what kind of file it is."""
    if not data.strip():
        raise RefusedError("the file is empty: export the plots once more")
    if len(data) > LARGEST_FILE:
        raise RefusedError(
            f"the file has {len(data)} bytes, and {LARGEST_FILE} are the most: file "
            f"the plots of this lot alone"
        )
    for start, what in BEGINNINGS:
        if data.startswith(start):
            raise RefusedError(f"this is {what} and no GeoJSON: {EXPORT}")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        # A letter that is cut through at the very end is a file that was cut off.
        if fault.end >= len(data) and "unexpected end" in fault.reason:
            raise _cut_off() from None
        raise RefusedError(
            f"the file is no text in UTF-8 (byte {fault.start + 1}): {EXPORT}, in UTF-8"
        ) from None


def _parsed(text: str) -> Any:
    bare = text.strip()
    if bare.startswith("<"):
        raise RefusedError(f"this is XML, such as KML or GPX, and no GeoJSON: {EXPORT}")
    if not bare.startswith("{"):
        raise RefusedError(
            f"this is no GeoJSON, which begins with {{ and not with {bare[:12]!r}: "
            f"{EXPORT}"
        )
    try:
        return json.loads(
            bare,
            parse_float=_number,
            parse_int=_number,
            parse_constant=_no_number,
            object_pairs_hook=_said_once,
        )
    except RecursionError:
        raise RefusedError(
            f"the file has brackets within brackets without end: {EXPORT}"
        ) from None
    except json.JSONDecodeError as fault:
        is_more = fault.msg.startswith("Extra data")
        if not is_more and (not bare.endswith("}") or fault.pos >= len(bare)):
            raise _cut_off() from None
        raise RefusedError(
            f"line {fault.lineno} of the file is no JSON at letter {fault.colno}: "
            f"export the plots once more, and do not mend the file by hand"
        ) from None


def _cut_off() -> RefusedError:
    return RefusedError(
        "the file ends in the middle, as if it was cut off: copy it once more"
    )


def _number(text: str) -> Decimal:
    """Return a number as it is written, digit by digit."""
    try:
        return Decimal(text)
    except InvalidOperation:
        raise RefusedError(f"{text[:40]} is no coordinate: {EXPORT}") from None


def _no_number(text: str) -> None:
    raise RefusedError(f"{text} is no coordinate: {EXPORT}")


def _said_once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Return an object whose members are said once each, so that all read the same."""
    made = dict(pairs)
    if len(made) != len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise RefusedError(
            f"{twice[:40]!r} is said twice in one object of the file: {EXPORT}"
        )
    return made


def _object(value: Any, where: str = "the file") -> dict[str, Any]:
    if not isinstance(value, dict):
        raise RefusedError(f"{where} is no object of GeoJSON: {EXPORT}")
    return value


def _require_degrees(whole: dict[str, Any]) -> None:
    """Refuse a file that names another coordinate system than WGS 84.

    Source: RFC 7946 section 4, which took `crs` out of GeoJSON.
    """
    if whole.get("crs") is None:
        return
    named = json.dumps(whole["crs"], default=str, ensure_ascii=False)
    if not any(name in named for name in WGS_84):
        raise RefusedError(
            f"the file names a coordinate system that is not WGS 84: {EXPORT}"
        )


def _of_feature(feature: Any, where: str) -> Member:
    told = _object(feature, where)
    if told.get("type") != "Feature":
        raise RefusedError(
            f"{where} is of the type {_quoted(told.get('type'))} and no Feature: "
            f"{EXPORT}"
        )
    if told.get("geometry") is None:
        raise RefusedError(f"{where} has no place on the map: draw it, or leave it out")
    properties = told.get("properties")
    if properties is not None and not isinstance(properties, dict):
        raise RefusedError(f"the properties of {where} are no object: {EXPORT}")
    return _geometry(
        _object(told["geometry"], where), where, tuple((properties or {}).items())
    )


def _geometry(
    told: dict[str, Any], where: str, properties: tuple[tuple[str, Any], ...] = ()
) -> Member:
    kind = told.get("type")
    if kind in LINES:
        raise RefusedError(f"{where} is a line, and a line holds no land: close it")
    if kind not in KINDS:
        raise RefusedError(
            f"{where} is of the type {_quoted(kind)}, and a plot is a "
            f"{', '.join(KINDS[:-1])} or {KINDS[-1]}"
        )
    return Member(kind=kind, coordinates=told.get("coordinates"), properties=properties)


def _quoted(value: Any) -> str:
    return repr(value[:40]) if isinstance(value, str) else "nothing known"
