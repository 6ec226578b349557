"""Promises have a unit, a size that can be, and wood that somebody knows."""

import pytest

from ledger.acts.promising import require_promises, unknown_woods
from ledger.errors import RefusedError
from ledger.events import ModelDefined
from ledger.events.route import Characteristic, PlannedPart, PlannedStep
from tests.skerrymoor import Loft

PLAN = ModelDefined(
    model="Tidewarden",
    version=1,
    instrument="flat-top guitar",
    parts=(PlannedPart(part="top"), PlannedPart(part="bridge plate")),
    steps=(
        PlannedStep(
            step="shape the neck",
            qualification="necks",
            measured=(
                Characteristic(what="width at the nut", unit="length_um"),
                Characteristic(what="thickness of the top", unit="length_um"),
                Characteristic(what="mass", unit="mass_mg"),
                Characteristic(what="room", unit="humidity_ppm"),
            ),
        ),
    ),
)


@pytest.mark.parametrize(
    ("what", "how", "why"),
    [
        (
            "width at the nut",
            "44",
            "is promised, but '44' is no measure: write it with",
        ),
        ("Width  at the nut", "44 kg", "is promised as '44 kg', and it is measured in"),
        ("width at the nut", "-44 mm", "given as −44 mm, and a size is above nothing"),
        ("width at the nut", "44000 m", "lies between −100 mm and 3000 mm"),
        ("width at the nut", "44000 km", "'44000 km' is no measure"),
        ("thickness of the top", "3 kg", "and it is measured in mm: read the order"),
        ("nut width", "44", "'44' is no measure"),
        ("mass", "1986 mm", "and it is measured in g"),
        ("room", "400 %RH", "is promised, but '400 %RH' is above 100 %RH"),
        ("wydth", "44 mm", "measures no 'wydth': write width at the nut, or say it in"),
        ("thicknes at the rim", "3 mm", "write thickness of the top, or say it in"),
    ],
)
def test_what_no_instrument_can_have_is_not_promised(
    what: str, how: str, why: str
) -> None:
    """In one sentence, with what to write."""
    with pytest.raises(RefusedError) as refusal:
        require_promises(PLAN, [(what, how)])

    assert why in str(refusal.value).replace("\u2009", " ")


@pytest.mark.parametrize(
    ("what", "how"),
    [
        ("width at the nut", "44 mm"),
        ("Width at the nut", "as wide as his old one"),
        ("width at the 12th fret", "52 mm"),
        ("thickness of the top", "2.8 mm"),
        ("strings", "6"),
        ("scale", "645 mm"),
        ("case", "brown"),
        ("top", "Picea abies"),
        ("top", "2 pieces"),
    ],
)
def test_what_can_be_kept_is_promised(what: str, how: str) -> None:
    """A measure of the model, another one, a count, or words."""
    require_promises(PLAN, [(what, how)])


def test_wood_that_nobody_knows_is_told(loft: Loft) -> None:
    """A scientific name, a name of the trade, and what a lot of the shop is called."""
    loft.supplier()
    loft.receive(trade_name="moonspruce")
    promised = [
        ("top", "Picea abies"),
        ("Top", "Alpine spruce"),
        ("top", "moonspruce, 2024"),
        ("top", "Unobtainium"),
        ("case", "Unobtainium"),
        ("bridge plate", "4 mm"),
    ]
    with loft.shop.store.reading() as session:
        found = unknown_woods(session, PLAN, promised)

    assert found == [("top", "Unobtainium")]
