"""An instrument that came back: its top is taken off and another one put on.

retopped(loft)     # C-2026-00001 is behind it, and a further one can be issued
"""

import io
from pathlib import Path
from typing import Any

from PIL import Image

from ledger.acts import rework, service
from ledger.events.build import Measure, PartWeighed
from ledger.log.entry import Entry
from tests.skerrymoor import TOP, Loft

SERIAL, FIRST = "26-0001-8", "C-2026-00001"
OLD_TOP = ("L26-001-01.A", "L26-001-01.B")


def serviced(loft: Loft, work: str = "set up anew", **said: Any) -> Entry:
    """Record that an instrument was worked on."""
    told: dict[str, Any] = {"serial": SERIAL, "hands": loft.hands()} | said
    return service.service(loft.shop, work=work, **told)


def top_off(loft: Loft, **said: Any) -> Entry:
    """Take the top off after a fall; the shop keeps it."""
    told: dict[str, Any] = {
        "serial": SERIAL,
        "part": "top",
        "fate": "kept",
        "reason": "broken in a fall",
        "hands": loft.hands(),
    }
    return service.remove_part(loft.shop, **(told | said))


def retopped(loft: Loft) -> str:
    """Take the top off and put another on; return the new set."""
    top_off(loft)
    lot = loft.receive()
    loft.number(lot, TOP)
    loft.allot(SERIAL, "top", f"{lot}-01")
    for step in ("join the top", "brace"):
        rework.order(
            loft.shop, serial=SERIAL, step=step, reason="new top", hands=loft.hands()
        )
    weighed = PartWeighed(part="top", mass_mg=188_000)
    loft.sign(SERIAL, "join the top", weighed=[weighed])
    loft.sign(SERIAL, "brace")
    serviced(
        loft,
        "new top fitted, voiced and finished",
        measures=[Measure(what="mass", mass_mg=1_990_000)],
    )
    return f"{lot}-01"


def picture(path: Path, shade: int = 90) -> Path:
    """Draw a photograph of one shade; return its file."""
    data = io.BytesIO()
    Image.new("L", (32, 24), shade).save(data, "PNG")
    path.write_bytes(data.getvalue())
    return path
