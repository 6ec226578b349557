"""Woods whose dust is named on a card, however their names are written."""

import pytest

from ledger.craft.hazards import HAZARDS, dust_hazard
from ledger.craft.policy import binomial


@pytest.mark.parametrize(
    ("species", "why"),
    [
        ("Dalbergia latifolia", "sensitises skin and lungs"),
        ("dalbergia latifolia", "sensitises skin and lungs"),
        ("Dalbergia  nigra (Vell.) Allemão ex Benth.", "sensitises skin and lungs"),
        ("Thuja plicata", "causes asthma"),
        ("Thuja plicata Donn ex D.Don", "causes asthma"),
        ("Thuja occidentalis", None),
        ("Quercus × rosacea", "causes cancer of the nose"),
        ("Picea abies", None),
        ("unknown", None),
        ("", None),
    ],
)
def test_dust_is_named_by_species_else_by_genus(species: str, why: str | None) -> None:
    """A name in small letters harms as much."""
    assert dust_hazard(species) == why


def test_every_name_in_the_list_is_found_by_itself() -> None:
    """A name that is not written as it is compared would name no dust at all."""
    assert all(binomial(name) == name for name in HAZARDS)
    assert all(dust_hazard(name) == why for name, why in HAZARDS.items())
