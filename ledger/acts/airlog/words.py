"""The words of a logger's header: time, temperature, humidity, in several languages.

English, German, French, Italian, Spanish, Portuguese and Dutch, without accents and in
small letters; common practice, no source.
"""

import re
from functools import lru_cache

from ledger.acts.packing.words import plain

TEMPERATURE, HUMIDITY = "temperature", "humidity"
MOMENTS = ("moment", "date")


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


_MOMENT = _words(
    "timestamp datetime zeitstempel horodatage datumzeit zeitpunkt tijdstip "
    "datahora fechahora dataora moment recorded measured"
)
_DATE = _words("date datum data fecha jour giorno tag dag dia")
_TIME = _words("time zeit uhrzeit heure ora hora tijd uhr")
_WARM = _words(
    "temperature temp temps temperatur temperatura temperaturen lufttemperatur "
    "temperatuur t tmp ta celsius fahrenheit degc degf tempc tempf"
)
_DAMP = _words(
    "humidity hum humi rh feuchte feuchtigkeit luftfeuchte luftfeuchtigkeit rf hr ur "
    "humidite humedad umidita umidade relh rhum luchtvochtigheid vochtigheid rv"
)
# Columns that speak of warmth or damp, and are not the air's at that moment.
_OTHER = _words(
    "dew dewpoint taupunkt rosee rugiada rocio point absolute absolut absolue ah vpd "
    "wet bulb index heat min max minimum maximum low high alarm alarme limit soll set "
    "setpoint status surface duree duration interval"
)
ABSENT = _words(
    "err error fehler erreur errore nan n/a na null none nil ol lo hi open short fault "
    "invalid inf -inf"
)
_FAHRENHEIT = re.compile(r"°\s*F\b|℉|\bF\b|fahrenheit|degf|tempf|_f\b", re.IGNORECASE)
_CELSIUS = re.compile(r"°\s*C\b|℃|\bC\b|celsius|degc|tempc|_c\b", re.IGNORECASE)


@lru_cache(maxsize=512)
def meaning_of(header: str) -> str:
    """Return what a header says: moment, date, time, temperature, humidity, nothing."""
    bare = plain(header.replace("%", " ")).split()
    words = {word.rstrip("0123456789") for word in bare} - {""}
    if not words or words & _OTHER:
        return ""
    if words & _DAMP:
        return HUMIDITY
    if words & _WARM or words in ({"c"}, {"f"}):
        return TEMPERATURE
    if words & _MOMENT or (words & _DATE and words & _TIME):
        return "moment"
    if words & _DATE:
        return "date"
    return "time" if words & _TIME else ""


def unit_of(header: str) -> str:
    """Return C or F where a header or a cell tells one of them, and only one."""
    told = {
        unit
        for unit, pattern in (("C", _CELSIUS), ("F", _FAHRENHEIT))
        if pattern.search(header)
    }
    return told.pop() if len(told) == 1 else ""
