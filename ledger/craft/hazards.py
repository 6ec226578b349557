"""Woods whose dust is known to harm more than wood dust does anyway.

This is no substitute for the safety data and the rules of the place: all wood dust
harms lungs and burns. It only says which woods to name on a card.
"""

from ledger.craft.policy import binomial

# Genus or species: why its dust is named.
HAZARDS = {
    "Dalbergia": "sensitises skin and lungs",
    "Diospyros": "irritates skin and eyes",
    "Machaerium": "sensitises skin and lungs",
    "Cordia": "sensitises skin",
    "Milicia": "sensitises skin and lungs",
    "Thuja plicata": "causes asthma",
    "Quercus": "causes cancer of the nose",
    "Fagus": "causes cancer of the nose",
    "Juglans": "irritates skin and lungs",
}


def dust_hazard(species: str) -> str | None:
    """Return why the dust of a species is named on a card, or None.

    Source: ACGIH, threshold limit values for wood dusts (western red cedar asthma, oak
    and beech carcinogenic, as restated in trade handbooks); quinones of Dalbergia and
    Machaerium, the others: from memory, unverified.
    """
    name = binomial(species)
    return HAZARDS.get(name) or HAZARDS.get(name.partition(" ")[0])
