"""Who is in the invented shop, what each may sign, and what it makes."""

from dataclasses import dataclass

from ledger.craft.modeltext import Family

SHOP = "Skerrymoor Fretted Instruments"
PLACE = "the Loft, Port Anslow"
HOST = "skm.example"
FIRST_SERIAL = "26-0147-3"
OWNER = "Amélie Rousset"
OWNER_PLACE = "Lyon"


@dataclass(frozen=True, slots=True, kw_only=True)
class Builder:
    """Somebody at the Loft: name, badge, PIN, and what may be signed."""

    name: str
    badge: str
    pin: str
    may: tuple[str, ...] = ()


LEAD = Builder(name="Oluwaseun Adeyemi-Brandt", badge="01", pin="0107")
OFFICE = Builder(name="Rukmini Desai", badge="12", pin="1276", may=("papers",))
BUILDERS = (
    Builder(name="Maura Kiely", badge="02", pin="0235", may=("receive",)),
    Builder(
        name="Jakub Wolański", badge="03", pin="0391", may=("plates", "brace", "bind")
    ),
    Builder(name="Teresa Quispe", badge="04", pin="0448", may=("necks", "frets")),
    Builder(name="Hallvard Ness", badge="05", pin="0560", may=("finish",)),
    Builder(name="Noor Rahimi", badge="06", pin="0612", may=("set-up",)),
    Builder(name="Dmitri Lazarev", badge="07", pin="0773", may=("machine",)),
    Builder(name="Benji Takahashi-Cole", badge="08", pin="0854", may=("apprentice",)),
    Builder(name="Philippa Osei", badge="09", pin="0938", may=("papers",)),
    Builder(name="Ines Carvalhal", badge="10", pin="1083", may=("inspect",)),
    Builder(
        name="Tadhg Mac Giolla",
        badge="11",
        pin="1145",
        may=("plates", "brace", "bind", "necks"),
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Model:
    """What the shop makes: a name, what it is, and whose road it takes."""

    name: str
    instrument: str
    family: Family


TIDEWARDEN = Model(
    name="Tidewarden",
    instrument="flat-top guitar, dreadnought-size",
    family="flat-top",
)
NIGHTFERRY = Model(
    name="Nightferry", instrument="arch-top guitar, 17 in wide", family="arch-top"
)
SLIPWAY = Model(
    name="Slipway",
    instrument="solid-body guitar with a walnut cap",
    family="solid-body",
)
MODELS = (TIDEWARDEN, NIGHTFERRY, SLIPWAY)
