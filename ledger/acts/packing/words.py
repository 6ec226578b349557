"""The words of packing lists: what sawyers call a column, a unit, a set, a total.

English, German, French, Italian and Spanish, without accents and in small letters;
common practice, no source.
"""

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from ledger.scales import INCH, LENGTH, MASS, MOISTURE, VOLUME, Scale
from ledger.trade.names import read_name

Per = Literal["set", "half", "board"]

# What is sold by quarters of an inch is written 8/4, or 8 in a column of quarters.
QUARTERS = "/4"
SIZE = replace(LENGTH, units={**LENGTH.units, QUARTERS: INCH * Fraction(1000, 4)})
SCALES: dict[str, Scale] = {
    **dict.fromkeys(("length", "width", "thickness", "sizes"), SIZE),
    **dict.fromkeys(("mass", "mass_a", "mass_b"), MASS),
    "volume": VOLUME,
    "moisture": MOISTURE,
}
TEXTS = ("species", "trade_name", "meant_for", "grade", "harvested_in")
MEANINGS = ("label", "quantity", "kind", *SCALES, *TEXTS)

# The headers of each meaning. What stands after the colon is told by the header too:
# what is counted, or whose mass it is.
_HEADERS = {
    "label": "label, mark, marking, item, item no, item number, item nr, id, tag, "
    "code, set no, set number, board no, billet no, piece no, lot no, bundle no, ref, "
    "reference, kennung, kennzeichen, artikel, art nr, artikelnr, artikelnummer, "
    "satz nr, brett nr, nr bezeichnung, repere, marque, marca, contrassegno, sigla, "
    "codice, codigo, referencia, riferimento, artikel nr, sticker",
    "position": "no, nr, number, num, pos, position, lfd nr, lfdnr, line, numero, n, "
    "numer, nummer, posizione, posicion, sr no, sl no, s no",
    "quantity": "qty, quantity, count, how many, anzahl, menge, anz, qte, quantite, "
    "nombre, nbre, quantita, q ta, qta, cantidad, cant",
    "quantity:set": "sets, pairs, no of sets, number of sets, qty sets, satze, "
    "saetze, paare, anzahl satze, anzahl paare, anz satze, jeux, paires, "
    "nombre de jeux, coppie, numero di coppie, juegos, pares",
    "quantity:half": "halves, no of halves, qty halves, halften, haelften, "
    "anzahl halften, moities, meta, mitades",
    "quantity:board": "nos, pcs, pieces, pc, boards, no of pieces, no of boards, "
    "qty pcs, stk, stuck, stueck, stuckzahl, stueckzahl, bretter, pezzi, pz, piezas, "
    "planches, tavole, tablas, n pezzi, nb de pieces",
    "kind": "unit, uom, einheit, unite, unita, unidad, eh, um, per",
    "length": "length, len, lgth, l, lg, long, lange, laenge, longueur, longeur, "
    "lunghezza, lungh, largo, longitud",
    "width": "width, wide, wd, w, b, breite, largeur, larg, larghezza, largh, ancho, "
    "anchura",
    "thickness": "thickness, thick, thk, th, t, d, h, dicke, starke, staerke, hohe, "
    "hoehe, height, epaisseur, ep, spessore, sp, grosor, espesor, grueso",
    "sizes": "size, sizes, dimensions, dimension, dims, dim, measurements, measures, "
    "masze, abmessung, abmessungen, cotes, dimensioni, misure, dimensiones, "
    "medidas, format",
    "mass": "weight, wt, wgt, mass, masse, massa, gewicht, gew, poids, peso, "
    "g, kg, oz, lb, lbs, grams, ounces",
    "mass:each": "unit weight, stuckgewicht, stueckgewicht, einzelgewicht, "
    "poids unitaire, peso unitario, weight each",
    "mass:set": "set weight, satzgewicht, paargewicht, pair weight",
    "mass:total": "total weight, gesamtgewicht, poids total, peso totale, peso total",
    "mass_a": "mass a, masse a, weight a, wt a, half a, weight half a, a half, "
    "gewicht a, halfte a, haelfte a, poids a, moitie a, peso a, meta a, mitad a",
    "mass_b": "mass b, masse b, weight b, wt b, half b, weight half b, b half, "
    "gewicht b, halfte b, haelfte b, poids b, moitie b, peso b, meta b, mitad b",
    "volume": "volume, vol, board feet, board foot, bd ft, bf, bdft, cubage, volumen, "
    "inhalt, kubatur, footage, cbm, m3",
    "volume:total": "total volume, total board feet, gesamtvolumen, total bf",
    "species:scientific": "scientific name, scientific, botanical name, botanical, "
    "latin name, latin, wissenschaftlicher name, wiss name, botanischer name, "
    "nom scientifique, nom botanique, nome scientifico, nombre cientifico, "
    "genus species",
    "species": "species, spp, holzart, baumart, essence, espece, specie, especie, "
    "essenza",
    "trade_name": "trade name, art, common name, wood, timber, description, desc, "
    "holz, handelsname, bezeichnung, beschreibung, sorte, bois, designation, "
    "nom commercial, legno, legname, descrizione, nome commerciale, madera, "
    "descripcion, nombre comercial, ware, product",
    "meant_for": "for, use, meant for, intended for, part, purpose, verwendung, fur, "
    "fuer, zweck, teil, bauteil, usage, pour, piece pour, utilisation, uso, impiego, "
    "per uso, parte, destino",
    "grade": "grade, quality, gr, gute, guete, klasse, qualitat, qualitaet, "
    "sortierung, wahl, qualite, choix, qualita, scelta, calidad, grado",
    "moisture": "moisture, mc, moisture content, feuchte, holzfeuchte, feuchtigkeit, "
    "humidite, taux d humidite, umidita, humedad",
    "harvested_in": "harvested in, country of harvest, harvest country, origin, "
    "country of origin, country, herkunft, herkunftsland, land, einschlagland, "
    "origine, pays, pays d origine, pays de recolte, provenance, provenienza, paese, "
    "paese di origine, origen, pais, pais de origen",
}
HEADERS: dict[str, tuple[str, str | None]] = {
    name.strip(): (meaning.partition(":")[0], meaning.partition(":")[2] or None)
    for meaning, names in _HEADERS.items()
    for name in names.split(",")
}
FILLERS = frozenset(
    [
        "approx",
        "about",
        "ca",
        "circa",
        "rough",
        "roh",
        "net",
        "netto",
        "brutto",
        "gross",
        "nominal",
        "mean",
        "avg",
        "average",
        "the",
        "of",
        "der",
        "die",
        "das",
        "in",
        "sawn",
        "dry",
        "mittel",
        "mittlere",
        "moyen",
        "moyenne",
        "medio",
        "media",
    ]
)

_SCOPES = {
    "each": "each, ea, per piece, per pc, per board, a piece, je stuck, pro stuck, "
    "je stueck, pro stueck, per stuck, per stk, je stk, pro stk, stk, stuck, la piece, "
    "par piece, piece, cad, cadauno, al pezzo, per pezzo, cada uno, por pieza, je, "
    "board, pc",
    "set": "per set, set, pro satz, je satz, satz, par jeu, jeu, per pair, pair, "
    "je paar, pro paar, paar, par paire, paire, per coppia, coppia, por juego, juego, "
    "por par",
    "half": "per half, each half, half, je halfte, pro halfte, halfte, par moitie, "
    "per meta, por mitad",
    "total": "total, tot, gesamt, totale, summe, sum, zusammen, line total, all",
}
# The longest first: "per half" before "half".
SCOPES = sorted(
    (
        (tuple(phrase.split()), scope)
        for scope, phrases in _SCOPES.items()
        for phrase in phrases.split(",")
    ),
    key=lambda item: -len(item[0]),
)

_KINDS: dict[Per, str] = {
    "set": "set sets pair pairs satz satze saetze paar paare jeu jeux paire paires "
    "coppia coppie juego juegos par pares",
    "half": "half halves halfte halften haelfte haelften moitie moities meta mitad "
    "mitades",
    "board": "board boards pc pcs piece pieces ea each stk stuck stueck st brett "
    "bretter billet billets blank blanks planche planches pezzo pezzi pz tavola tavole "
    "pieza piezas tabla tablas",
}
KINDS: dict[str, Per] = {
    word: per for per, words in _KINDS.items() for word in words.split()
}

# What a title says is counted; in the singular these words say too many other things.
_PLURALS: dict[Per, str] = {
    "set": "sets pairs satze saetze paare jeux paires coppie juegos pares",
    "half": "halves halften haelften moities mitades",
    "board": "boards pieces billets blanks bretter planches pezzi tavole piezas tablas",
}
PLURALS: dict[str, Per] = {
    word: per for per, words in _PLURALS.items() for word in words.split()
}

_SUMS = {
    "subtotal": "subtotal, sub total, zwischensumme, sous total, subtotale, "
    "seitensumme, page total, totale parziale, suma parcial",
    "total": "total, totals, grand total, sum, summe, gesamt, gesamtsumme, totale, "
    "insgesamt, totaux, somme, somma, suma, totales, sum total",
    "carried": "ubertrag, uebertrag, carried forward, brought forward, a reporter, "
    "report, riporto, suma y sigue",
}
SUBTOTALS, TOTALS, CARRIED = (tuple(each.split(", ")) for each in _SUMS.values())

# Units as people write them, and as the scales of the ledger do.
UNITS = {
    **dict.fromkeys(("millimeter", "millimeters", "millimetre"), "mm"),
    **dict.fromkeys(("millimetres", "milimetros", "millimetri"), "mm"),
    **dict.fromkeys(("centimeter", "centimeters", "centimetres"), "cm"),
    **dict.fromkeys(("meter", "metre", "metres", "metri"), "m"),
    **dict.fromkeys(("zoll", "pouce", "pouces", "pollici", "pulgadas", "ins"), "in"),
    **dict.fromkeys(("″", "”", "“", "''", "’’", "´´"), '"'),
    **dict.fromkeys(("'", "’", "′", "feet", "foot", "fuss"), "ft"),
    **dict.fromkeys(("quarters", "quarter"), QUARTERS),
    **dict.fromkeys(("gram", "grams", "gramm", "grammes", "gr", "grammi"), "g"),
    **dict.fromkeys(("kilo", "kilos", "kilogram", "kilograms", "kgs"), "kg"),
    **dict.fromkeys(("ounce", "ounces", "ozs", "once"), "oz"),
    **dict.fromkeys(("pound", "pounds"), "lb"),
    **dict.fromkeys(
        ("bf", "fbm", "boardfeet", "boardfoot", "boardft", "bd.ft"), "bdft"
    ),
    **dict.fromkeys(("cbm", "fm"), "m³"),
    **dict.fromkeys(("percent", "prozent", "vh"), "%"),
}

# Genera whose wood is bought for instruments; a name that begins with one is no trade
# name.
GENERA = [
    "Abies",
    "Acacia",
    "Acer",
    "Alnus",
    "Buxus",
    "Castanea",
    "Cedrela",
    "Cedrus",
    "Cordia",
    "Cupressus",
    "Dalbergia",
    "Diospyros",
    "Entandrophragma",
    "Fraxinus",
    "Guibourtia",
    "Ilex",
    "Juglans",
    "Khaya",
    "Liriodendron",
    "Machaerium",
    "Microberlinia",
    "Millettia",
    "Ochroma",
    "Peltogyne",
    "Picea",
    "Pinus",
    "Platanus",
    "Populus",
    "Prunus",
    "Pterocarpus",
    "Pyrus",
    "Quercus",
    "Robinia",
    "Salix",
    "Samanea",
    "Sequoia",
    "Shorea",
    "Swietenia",
    "Tectona",
    "Terminalia",
    "Thuja",
    "Tilia",
    "Toona",
    "Ulmus",
]
SCIENTIFIC = re.compile(rf"\b(?:{'|'.join(GENERA)})\s+(?:[x×]\s+)?[a-z][a-z-]+\.?")

# What an epithet that is not in the table of names ends in; words of a list do not.
LATIN = re.compile(r"(?:a|us|um|is|ii?|ae|ens|ans|or|oides)\.?\Z")


def is_scientific(name: str) -> bool:
    """Tell "Khaya ivorensis", or any Latin of its kind, from "Khaya boards"."""
    return read_name(name).name is not None or LATIN.search(name) is not None


@lru_cache(maxsize=4096)
def plain(text: str) -> str:
    """Return words in small letters, without accents and marks between them."""
    # "Maße" are sizes and "Masse" is mass; casefolding would make them one.
    kept = text.replace("ß", "sz").casefold()
    parts = unicodedata.normalize("NFKD", kept)
    bare = "".join(mark for mark in parts if not unicodedata.combining(mark))
    return " ".join(re.findall(r"[a-z0-9]+", bare))


def begins_with(text: str, phrases: Iterable[str]) -> bool:
    """Tell whether a text begins with one of these phrases, as whole words."""
    words = f"{plain(text)} "
    return any(words.startswith(f"{phrase} ") for phrase in phrases)


def unit_named(text: str, scale: Scale) -> str | None:
    """Return a unit as the scale spells it, however a sawyer wrote it."""
    bare = "".join(text.split()).strip(".:,")
    folded = UNITS.get(bare.casefold(), bare)
    if folded in scale.units:
        return folded
    same = [unit for unit in scale.units if unit.casefold() == folded.casefold()]
    return same[0] if same and folded else None
