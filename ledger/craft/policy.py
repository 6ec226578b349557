"""The house's limits: how long wood rests, what counts as steady, how masses balance.

    {"format":"flitchbook-house/1","id":"first","version":1,
     "rest":[{"species":["Picea","Abies"],"least_days":90,"preferred_days":180}, …],
     "rest_of_others":{"least_days":365,"preferred_days":730},
     "steady":{"weighings":3,"apart_days":7,"within_ppm":2000},
     "moisture":{"around_emc_ppm":15000},
     "room":{"least_humidity_ppm":400000,"most_humidity_ppm":500000,"fresh_days":7},
     "balance":{"within_ppm":30000}}

Such a text is adopted by an entry that embeds it; the newest one adopted counts.
Without weighings nobody asks whether a mass is steady; where a reading of the room is
fresh for no day, nobody asks for one.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from ledger.craft.reading import LARGEST, NAME, SPECIES, told
from ledger.errors import RefusedError
from ledger.scales import shown

HOUSE_FORMAT = "flitchbook-house/1"
MEMBERS = {
    "rest_of_others": ("least_days", "preferred_days"),
    "steady": ("weighings", "apart_days", "within_ppm"),
    "moisture": ("around_emc_ppm",),
    "room": ("least_humidity_ppm", "most_humidity_ppm", "fresh_days"),
    "balance": ("within_ppm",),
}
# Whoever waits longer than a lifetime has mistyped.
MOST_DAYS = 36_525
MOST_WEIGHINGS = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """How long wood of some genera or species rests at least, and better."""

    species: tuple[str, ...]
    least_days: int
    preferred_days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class HousePolicy:
    """The house's limits as one adopted text gives them."""

    id: str
    version: int
    rest: tuple[Rest, ...]
    others: Rest
    weighings: int
    apart_days: int
    within_ppm: int
    around_emc_ppm: int
    least_humidity_ppm: int
    most_humidity_ppm: int
    fresh_days: int
    balance_ppm: int

    @property
    def name(self) -> str:
        """The policy's name and version, as an override or a verdict quotes it."""
        return f"{self.id} {self.version}"

    def rest_for(self, species: str) -> Rest:
        """Return the rest of a species: its own, else its genus's, else the others'."""
        own = binomial(species)
        for name in (own, own.partition(" ")[0]):
            for rest in self.rest:
                if name in map(binomial, rest.species):
                    return rest
        return self.others


# A rack asks for the same few woods, board by board.
@lru_cache(maxsize=1024)
def binomial(species: str) -> str:
    """Return genus and species alone, without author or cross, as a rule compares them.

    Source: International Code of Nomenclature for algae, fungi, and plants, articles 23
    and H.1.1 (the cross of a hybrid).
    """
    words = [w for w in species.split() if w.lower() not in ("×", "x")]
    return " ".join(words[:2]).capitalize()


def first_house_policy() -> dict[str, Any]:
    """Return the limits that a shop adopts when it is opened.

    Spruce and its like rest 90 days, better 180; rosewood and ebony two years, better
    three; everything else one year, better two. Three weighings a week apart that
    differ by less than 0.2 % count as steady; wood rests within 1.5 % of the moisture
    that the room's air would give it; a room is held at 40 to 50 % and looked at once
    a week. After a split 3 % may be missing.

    Source: common practice, no source.
    """
    softwoods = ["Abies", "Cedrus", "Cupressus", "Picea", "Sequoia", "Thuja"]
    return {
        "format": HOUSE_FORMAT,
        "id": "first",
        "version": 1,
        "rest": [
            {"species": softwoods, "least_days": 90, "preferred_days": 180},
            {
                "species": ["Dalbergia", "Diospyros"],
                "least_days": 730,
                "preferred_days": 1095,
            },
        ],
        "rest_of_others": {"least_days": 365, "preferred_days": 730},
        "steady": {"weighings": 3, "apart_days": 7, "within_ppm": 2_000},
        "moisture": {"around_emc_ppm": 15_000},
        "room": {
            "least_humidity_ppm": 400_000,
            "most_humidity_ppm": 500_000,
            "fresh_days": 7,
        },
        "balance": {"within_ppm": 30_000},
    }


def is_house_policy(policy: object) -> bool:
    """Tell whether a policy is one of the house's limits.

    Source: the shop's policy; nature sets none.
    """
    return isinstance(policy, dict) and policy.get("format") == HOUSE_FORMAT


def house_policy(policy: object) -> HousePolicy:
    """Read the house's limits out of an adopted text.

    Raises RefusedError that names what does not fit.

    Source: the shop's policy; nature sets none.
    """
    if not isinstance(policy, dict) or not is_house_policy(policy):
        raise RefusedError(f"a policy of the house has the format {HOUSE_FORMAT}")
    members = ("format", "id", "version", "rest", *MEMBERS)
    _require_members(policy, members, "a policy of the house")
    if not isinstance(policy["id"], str) or NAME.match(policy["id"]) is None:
        said = told(policy["id"])
        raise RefusedError(f"the policy's id {said} is no name such as first")
    limits = {name: _limits(policy[name], name, MEMBERS[name]) for name in MEMBERS}
    if not isinstance(policy["rest"], list):
        raise RefusedError("the policy's rest is a list of groups of species")
    rest = tuple(_rest(group) for group in policy["rest"])
    _require_once(rest)
    room = limits["room"]
    if room["least_humidity_ppm"] > room["most_humidity_ppm"]:
        raise RefusedError("the room's least humidity is above its most")
    return HousePolicy(
        id=policy["id"],
        version=_whole(policy["version"], "version", least=1),
        rest=rest,
        others=_resting((), limits["rest_of_others"]),
        balance_ppm=limits["balance"]["within_ppm"],
        **limits["steady"],
        **limits["moisture"],
        **room,
    )


def _rest(group: object) -> Rest:
    if not isinstance(group, dict):
        raise RefusedError("a group that rests has species, least_days, preferred_days")
    members = ("species", *MEMBERS["rest_of_others"])
    _require_members(group, members, "a group that rests")
    species = group["species"]
    if not isinstance(species, list) or not species:
        raise RefusedError("the species of a group that rests are a list of names")
    for name in species:
        if not isinstance(name, str) or SPECIES.match(name) is None:
            raise RefusedError(
                f"{told(name)} is no genus or species such as Picea or Picea abies"
            )
    days = {name: _whole(group[name], name) for name in MEMBERS["rest_of_others"]}
    return _resting(tuple(species), days)


def _require_once(rest: tuple[Rest, ...]) -> None:
    names = [binomial(name) for group in rest for name in group.species]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise RefusedError(f"{twice} is named twice among what rests: name it once")


def _resting(species: tuple[str, ...], days: dict[str, int]) -> Rest:
    if days["least_days"] > days["preferred_days"]:
        raise RefusedError(
            f"wood that rests at least {days['least_days']} days cannot better rest "
            f"{days['preferred_days']}: the second is the longer one"
        )
    return Rest(species=species, **days)


def _limits(said: object, name: str, members: tuple[str, ...]) -> dict[str, int]:
    if not isinstance(said, dict):
        raise RefusedError(f"the policy's {name} has {', '.join(members)}")
    _require_members(said, members, f"the policy's {name}")
    return {member: _whole(said[member], member) for member in members}


def _require_members(said: dict[str, Any], members: tuple[str, ...], of: str) -> None:
    if set(said) != set(members):
        astray = shown(", ".join(sorted(set(said) ^ set(members))))
        raise RefusedError(
            f"{of} has {', '.join(members)}, just these: look at {astray}"
        )


def _whole(value: object, name: str, *, least: int = 0) -> int:
    most = MOST_DAYS if name.endswith("_days") else LARGEST
    if name == "weighings":
        most = MOST_WEIGHINGS
    if type(value) is not int or not least <= value <= most:
        raise RefusedError(
            f"{name} is a whole number from {least} to {most}, not {told(value)}"
        )
    return value
