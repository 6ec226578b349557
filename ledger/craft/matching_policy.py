"""What makes two boards a pair: the house's points for every difference, in a text.

    {"format":"flitchbook-matching/1","id":"first","version":1,
     "kin":{"one_board":0,"neighbours":10,"one_lot":40},
     "traits":[{"trait":"density","points":4,"unknown_points":20,"most_ppm":80000},
               {"trait":"figure","points":10,"unknown_points":10,"most_steps":1},
               {"trait":"colour","points":2,"unknown_points":10}, …]}

Points are what a difference costs; fewer is better. `points` counts for each per cent
that two numbers differ, for each step between two words of figure, for each unit of
colour difference; `unknown_points` counts where nobody measured one of the two. Boards
further apart than `most_…` are no pair. Without `strangers` under `kin` boards of two
lots are none either.
"""

from dataclasses import dataclass
from typing import Any

from ledger.craft.reading import entries, identifier, members, told, whole
from ledger.errors import RefusedError

MATCHING_FORMAT = "flitchbook-matching/1"
KIN = ("one_board", "neighbours", "one_lot", "strangers")
# What each trait is measured in, which is also how its limit is named.
RATIOS = ("density", "along", "across", "radiation ratio", "ring width")
LIMITS = {
    **dict.fromkeys(RATIOS, "most_ppm"),
    "figure": "most_steps",
    "colour": "most_milli",
}
MOST_POINTS = 1_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Weight:
    """What a difference in one trait costs, and how large it may be at most."""

    trait: str
    points: int
    unknown_points: int
    most: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MatchingPolicy:
    """The house's points as one adopted text gives them; absent kin are no pair."""

    id: str
    version: int
    kin: dict[str, int]
    weights: tuple[Weight, ...]

    @property
    def name(self) -> str:
        """The policy's name and version, as a match quotes it."""
        return f"{self.id} {self.version}"

    def weight_of(self, trait: str) -> Weight | None:
        """Return what a difference in a trait costs, or None where nobody asks."""
        return next((each for each in self.weights if each.trait == trait), None)


def first_matching_policy() -> dict[str, Any]:
    """Return the points that a shop may begin with.

    Halves of one board cost nothing, neighbours in the billet little, and boards of two
    lots are never a pair. A per cent of density or radiation ratio costs four points; a
    per cent of ring width or of stiffness across, which no bench reads as well, costs
    one.

    Source: common practice, no source.
    """
    return {
        "format": MATCHING_FORMAT,
        "id": "first",
        "version": 1,
        "kin": {"one_board": 0, "neighbours": 10, "one_lot": 40},
        "traits": [
            _trait("density", 4, 20, most_ppm=80_000),
            _trait("radiation ratio", 4, 20, most_ppm=120_000),
            _trait("across", 1, 10),
            _trait("ring width", 1, 10, most_ppm=600_000),
            _trait("figure", 10, 10, most_steps=1),
            _trait("colour", 2, 10),
        ],
    }


def _trait(trait: str, points: int, unknown: int, **most: int) -> dict[str, Any]:
    return {"trait": trait, "points": points, "unknown_points": unknown, **most}


def is_matching_policy(policy: object) -> bool:
    """Tell whether a policy is one of the house's points for pairs.

    Source: the shop's policy; nature sets none.
    """
    return isinstance(policy, dict) and policy.get("format") == MATCHING_FORMAT


def matching_policy(policy: object) -> MatchingPolicy:
    """Read the house's points for pairs out of an adopted text.

    Raises RefusedError that names what does not fit.

    Source: the shop's policy; nature sets none.
    """
    if not is_matching_policy(policy):
        raise RefusedError(f"a policy of pairs has the format {MATCHING_FORMAT}")
    must = ("format", "id", "version", "kin", "traits")
    text = members(policy, must, of="a policy of pairs")
    kin = members(text["kin"], KIN[:3], may=KIN[3:], of="kin")
    points = {name: whole(kin[name], name, most=MOST_POINTS) for name in kin}
    falls = [name for name in KIN if name in points]
    if [points[name] for name in falls] != sorted(points.values()):
        raise RefusedError(
            f"nearer kin cost more than farther: {', '.join(falls)} rise in this order"
        )
    weights = tuple(_weight(each) for each in entries(text["traits"], "traits"))
    names = [weight.trait for weight in weights]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise RefusedError(f"{twice} stands twice among the traits: write it once")
    return MatchingPolicy(
        id=identifier(text["id"]),
        version=whole(text["version"], "version", least=1),
        kin=points,
        weights=weights,
    )


def _weight(said: object) -> Weight:
    named = members(
        said,
        ("trait", "points", "unknown_points"),
        may=sorted({*LIMITS.values()}),
        of="a trait",
    )
    trait = named["trait"]
    if not isinstance(trait, str) or trait not in LIMITS:
        raise RefusedError(f"{told(trait)} is none of the traits {', '.join(LIMITS)}")
    limit = LIMITS[trait]
    strange = [name for name in named if name.startswith("most_") and name != limit]
    if strange:
        raise RefusedError(
            f"the limit of {trait} is written {limit}, not {told(strange[0])}"
        )
    return Weight(
        trait=trait,
        points=whole(named["points"], "points", most=MOST_POINTS),
        unknown_points=whole(
            named["unknown_points"], "unknown_points", most=MOST_POINTS
        ),
        most=whole(named[limit], limit) if limit in named else None,
    )
