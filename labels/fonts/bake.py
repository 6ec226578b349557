"""Cut the faces of the house from their sources; run once, and keep what it makes.

The PDF writer knows no OpenType features, so the wanted figures and small capitals
are written into the character map here, and everything the papers never use goes.

Usage: python labels/fonts/bake.py SOURCES, where SOURCES holds, at any depth,
Vollkorn-*.ttf (Debian fonts-vollkorn 4.105-2), AtkinsonHyperlegibleNext_*.ttf (npm
@expo-google-fonts/atkinson-hyperlegible-next 0.4.1) and BIZUDPMincho-Regular.ttf
(Debian fonts-morisawa-bizud-mincho 1.05-2). All three are under the SIL Open Font
License 1.1 with no reserved font name; the licence texts stand beside the results.

Usage: python labels/fonts/bake.py, without SOURCES, cuts only the faces for screens,
out of those for paper that lie here. Their format wants the package brotli.
"""

import sys
from pathlib import Path

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

HERE = Path(__file__).parent

SPANS = (
    "20-7e a0-17f 192 1e00-1eff 218-21b 370-3ff 400-4ff 2009 2010-2014 2018-201e "
    "2020-2022 2026 2030 2032 2033 2039 203a 2070-208e 20ac 2116 2190-2193 2212 221a "
    "2248 2260 2264 2265 fb01 fb02"
)
KANA_AND_PUNCTUATION = "3000-30ff ff01-ff5e"
# A page that is one file holds fewer letters; a browser has other faces for the rest.
SCREEN_SPANS = (
    "20-7e a0-17f 218-21b 2009 2010-2014 2018-201e 2020-2022 2026 2190-2193 2212"
)
SCREEN_FACES = (
    "FlitchText-Regular",
    "FlitchText-Italic",
    "FlitchText-SemiBold",
    "FlitchTextCaps-Medium",
    "FlitchData-Medium",
    "FlitchData-ExtraBold",
)

FACES = (
    # result, source, family, style, features written into the character map
    ("FlitchText-Regular", "Vollkorn-Regular", "Flitch Text", "Regular", "lnum"),
    ("FlitchText-Italic", "Vollkorn-Italic", "Flitch Text", "Italic", "lnum"),
    ("FlitchText-SemiBold", "Vollkorn-SemiBold", "Flitch Text", "SemiBold", "lnum"),
    (
        "FlitchText-SemiBoldItalic",
        "Vollkorn-SemiBoldItalic",
        "Flitch Text",
        "SemiBold Italic",
        "lnum",
    ),
    (
        "FlitchTextCaps-Medium",
        "Vollkorn-Medium",
        "Flitch Text Caps",
        "Medium",
        "smcp lnum",
    ),
    *(
        (
            f"FlitchData-{style.replace(' ', '')}",
            f"AtkinsonHyperlegibleNext_{weight}",
            "Flitch Data",
            style,
            "tnum",
        )
        for weight, style in (
            ("400Regular", "Regular"),
            ("500Medium", "Medium"),
            ("500Medium_Italic", "Medium Italic"),
            ("700Bold", "Bold"),
            ("800ExtraBold", "ExtraBold"),
        )
    ),
)


def spans(text: str) -> set[int]:
    """Read a list of characters such as "20-7e a0-17f 192"."""
    chosen: set[int] = set()
    for span in text.split():
        first, _, last = span.partition("-")
        chosen.update(range(int(first, 16), int(last or first, 16) + 1))
    return chosen


def kanji() -> set[int]:
    """Return the kanji of JIS X 0208, levels 1 and 2.

    Source: JIS X 0208:1997, rows 16 to 84, as Python's EUC-JP codec maps them.
    """
    cells = (
        bytes((0xA0 + row, 0xA0 + cell)).decode("euc_jp", "ignore")
        for row in range(16, 85)
        for cell in range(1, 95)
    )
    return {ord(cell) for cell in cells if cell}


def substitutions(font: TTFont, feature: str) -> dict[str, str]:
    """Return what one feature puts in the place of each glyph."""
    table = font["GSUB"].table
    lookups = {
        index
        for record in table.FeatureList.FeatureRecord
        if record.FeatureTag == feature
        for index in record.Feature.LookupListIndex
    }
    swaps: dict[str, str] = {}
    for index in sorted(lookups):
        for subtable in table.LookupList.Lookup[index].SubTable:
            plain = getattr(subtable, "ExtSubTable", subtable)
            if plain.LookupType == 1:
                swaps.update(plain.mapping)
    return swaps


def may_change(feature: str, code: int) -> bool:
    """Tell whether a feature is wanted for a character."""
    digit = 0x30 <= code <= 0x39
    return not digit if feature == "smcp" else digit


def write_into_cmap(font: TTFont, features: str) -> None:
    """Point characters straight at the glyphs that the features would choose."""
    for table in font["cmap"].tables:
        if not table.isUnicode() or not hasattr(table, "cmap"):
            continue
        for feature in features.split():
            swaps = substitutions(font, feature)
            for code, glyph in table.cmap.items():
                if may_change(feature, code):
                    table.cmap[code] = swaps.get(glyph, glyph)
        for micro, other in ((0xB5, 0x3BC), (0x3BC, 0xB5)):
            if micro not in table.cmap and other in table.cmap:
                table.cmap[micro] = table.cmap[other]


def rename(font: TTFont, family: str, style: str, result: str) -> None:
    """Give a cut face its own name, and keep the copyright and licence lines."""
    names = font["name"]
    names.names = [record for record in names.names if record.nameID in (0, 13, 14)]
    for name_id, text in (
        (1, f"{family} {style}" if style != "Regular" else family),
        (2, "Regular"),
        (3, result),
        (4, f"{family} {style}"),
        (6, result),
        (16, family),
        (17, style),
    ):
        names.setName(text, name_id, 3, 1, 0x409)


def cut(font: TTFont, characters: set[int], layout: list[str], hinting: bool) -> None:
    """Drop every glyph and table that the papers do not use."""
    options = Options()
    options.layout_features = layout
    options.hinting = hinting
    options.name_IDs = ["*"]
    options.notdef_outline = True
    subsetter = Subsetter(options=options)
    subsetter.populate(unicodes=characters)
    subsetter.subset(font)


def bake(source: Path, target: str, names: tuple[str, str], features: str) -> None:
    """Cut one face for European writing."""
    font = TTFont(source, recalcTimestamp=False)
    write_into_cmap(font, features)
    cut(font, spans(SPANS), ["kern", "liga"], hinting=True)
    rename(font, *names, target)
    font.save(HERE / f"{target}.ttf")


def bake_mincho(source: Path) -> None:
    """Cut the face for Japanese names."""
    font = TTFont(source, recalcTimestamp=False)
    cut(font, kanji() | spans(KANA_AND_PUNCTUATION), [], hinting=False)
    rename(font, "Flitch Mincho", "Regular", "FlitchMincho-Regular")
    font.save(HERE / "FlitchMincho-Regular.ttf")


def bake_for_screens(name: str) -> None:
    """Cut a face of the papers once more, and pack it for a page."""
    font = TTFont(HERE / f"{name}.ttf", recalcTimestamp=False)
    cut(font, spans(SCREEN_SPANS), ["kern", "liga"], hinting=False)
    font.flavor = "woff2"
    font.save(HERE / f"{name}.woff2")


def main(sources: Path) -> None:
    """Cut all eleven faces for paper."""
    found = {path.stem: path for path in sources.rglob("*.ttf")}
    for target, source, family, style, features in FACES:
        bake(found[source], target, (family, style), features)
    bake_mincho(found["BIZUDPMincho-Regular"])


if __name__ == "__main__":
    if sys.argv[1:]:
        main(Path(sys.argv[1]))
    for screen_face in SCREEN_FACES:
        bake_for_screens(screen_face)
