"""The house's grades: which limits a board keeps for each, in a text that is adopted.

    {"format":"flitchbook-grading/1","id":"first","version":1,
     "words":["first","second","third"],"otherwise":"set aside",
     "grades":[{"grade":"first","parts":["top"],"species":["Picea"],
                "most_ring_width_um":1700,"most_runout_millidegree":2000,
                "worst_colour":"even","defects":[]}, …]}

`words` are the house's own, the best first; `otherwise` is what a board gets that keeps
the limits of none. An entry under `grades` speaks of some parts, and of some genera or
species, or of any wood where the list is empty; for a board count those that name its
species, else its genus, else those of any wood. A supplier's grade is no part of it.

A limit on the spread of the rings or on their angle may say at how many places they are
looked at, with `least_ring_spread_places` and `least_ring_angle_places`; without it two
counts show a spread, and one angle is enough.

`defects` has the kinds that are allowed inside the part's outline, and how many of each
at most, such as {"defect":"pin knot","most":2}; a kind that is not named is not
allowed, and without `defects` nobody asks.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from ledger.craft.policy import binomial
from ledger.craft.reading import entries, identifier, members, told, whole, woods, words
from ledger.craft.rings import MOST_PLACES
from ledger.errors import RefusedError

GRADING_FORMAT = "flitchbook-grading/1"
STRENGTHS = ("none", "slight", "clear", "strong")
COLOURS = ("even", "slightly uneven", "uneven")
DEFECTS = (
    "check",
    "compression wood",
    "knot",
    "pin knot",
    "pitch",
    "shake",
    "stain",
    "wane",
    "worm hole",
)
STEEPEST = 90_000
NUMBERS = {
    "least_ring_width_um": 10**5,
    "most_ring_width_um": 10**5,
    "most_ring_spread_ppm": 10**7,
    "most_ring_angle_millidegree": STEEPEST,
    "most_runout_millidegree": STEEPEST,
    "most_skew_millidegree": STEEPEST,
    "least_density_gram_per_m3": 2 * 10**6,
    "most_density_gram_per_m3": 2 * 10**6,
    "least_radiation_ratio_milli": 10**6,
    "least_q_milli": 10**7,
}
# At how many places at least, and the limit that this is of.
PLACES = {
    "least_ring_spread_places": "most_ring_spread_ppm",
    "least_ring_angle_places": "most_ring_angle_millidegree",
}
STEPS = {
    "least_figure": STRENGTHS,
    "most_figure": STRENGTHS,
    "least_silk": STRENGTHS,
    "worst_colour": COLOURS,
}
BOUNDS = (
    ("least_ring_width_um", "most_ring_width_um"),
    ("least_density_gram_per_m3", "most_density_gram_per_m3"),
    ("least_figure", "most_figure"),
)
MOST_DEFECTS = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class GradeRule:
    """What a board keeps for one grade: numbers, words of a scale, defects allowed.

    A limit that is absent nobody asks for; `defects` of None asks for none either.
    `places` are at how many places at least a limit's rings are looked at, by the name
    of the limit.
    """

    grade: str
    parts: tuple[str, ...]
    species: tuple[str, ...]
    numbers: dict[str, int]
    places: dict[str, int]
    steps: dict[str, str]
    defects: dict[str, int] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class GradingPolicy:
    """The house's grades as one adopted text gives them, the best word first."""

    id: str
    version: int
    words: tuple[str, ...]
    otherwise: str
    rules: tuple[GradeRule, ...]

    @property
    def name(self) -> str:
        """The policy's name and version, as a grading quotes it."""
        return f"{self.id} {self.version}"

    @property
    def order(self) -> tuple[str, ...]:
        """Every word a board can be given, the best first."""
        return (*self.words, self.otherwise)

    def rules_for(self, part: str, species: str) -> tuple[GradeRule, ...]:
        """Return what is asked of a part in a wood, the best grade first."""
        own = binomial(species)
        named = [rule for rule in self.rules if part.casefold() in rule.parts]
        for wood in (own, own.partition(" ")[0], ""):
            found = [r for r in named if wood in (map(binomial, r.species or ("",)))]
            if found:
                return tuple(sorted(found, key=lambda r: self.words.index(r.grade)))
        return ()


def first_grading_policy() -> dict[str, Any]:
    """Return the grades that a shop may begin with, the newest of them.

    Source: see `first_grading_policies`.
    """
    return first_grading_policies()[-1]


def first_grading_policies() -> tuple[dict[str, Any], ...]:
    """Return every version of the grades that a shop began with, in words of its own.

    A first top of softwood has 15 rings an inch or more, ring widths that differ by no
    more than 60 %, rings within 10° of quarter, runout and skew within 2°, an even
    colour and no defect inside the outline. A third one keeps 6 rings an inch and a
    slope of grain of 1 in 15, as was asked of spruce for aircraft. Since version 2 a
    first or second one has its rings counted, and their angle measured, at three places
    or more: at the joint, in the middle and at the edge. An entry quotes the version
    that it was graded by, and an audit needs that one's text.

    Source: common practice, no source; the aircraft rule from memory.
    """
    return _first(1, {}), _first(2, dict.fromkeys(PLACES, 3))


def _first(version: int, places: dict[str, int]) -> dict[str, Any]:
    """Return a version of the first grades; the better two ask for these places."""
    softwoods = ["Abies", "Cedrus", "Cupressus", "Picea", "Sequoia", "Thuja"]
    of_tops = {"parts": ["top"], "species": softwoods}
    of_backs = {"parts": ["back", "sides", "back and sides", "ribs"], "species": []}
    return {
        "format": GRADING_FORMAT,
        "id": "first",
        "version": version,
        "words": ["first", "second", "third"],
        "otherwise": "set aside",
        "grades": [
            {"grade": "first", **of_tops, **_top(1_700, 600_000, 10_000, 2_000)}
            | {"worst_colour": "even", "defects": []}
            | places,
            {"grade": "second", **of_tops, **_top(2_500, 1_000_000, 15_000, 3_000)}
            | {
                "worst_colour": "slightly uneven",
                "defects": _allowed(pitch=1, stain=1),
            }
            | places,
            {"grade": "third", **of_tops, **_top(4_233, 1_500_000, 25_000, 3_814)}
            | {"defects": _allowed(pin_knot=2, pitch=2, stain=3, wane=1)},
            {"grade": "first", **of_backs, "most_runout_millidegree": 4_000}
            | {"worst_colour": "even", "defects": []},
            {"grade": "second", **of_backs, "most_runout_millidegree": 6_000}
            | {"worst_colour": "slightly uneven", "defects": _allowed(pin_knot=1)},
            {"grade": "third", **of_backs}
            | {"defects": _allowed(pin_knot=3, stain=2, wane=1, worm_hole=1)},
        ],
    }


def _allowed(**most: int) -> list[dict[str, Any]]:
    return [
        {"defect": kind.replace("_", " "), "most": number}
        for kind, number in most.items()
    ]


def _top(width: int, spread: int, angle: int, slope: int) -> dict[str, int]:
    return {
        "most_ring_width_um": width,
        "most_ring_spread_ppm": spread,
        "most_ring_angle_millidegree": angle,
        "most_runout_millidegree": slope,
        "most_skew_millidegree": slope,
    }


def is_grading_policy(policy: object) -> bool:
    """Tell whether a policy is one of the house's grades.

    Source: the shop's policy; nature sets none.
    """
    return isinstance(policy, dict) and policy.get("format") == GRADING_FORMAT


def grading_policy(policy: object) -> GradingPolicy:
    """Read the house's grades out of an adopted text.

    Raises RefusedError that names what does not fit.

    Source: the shop's policy; nature sets none.
    """
    if not is_grading_policy(policy):
        raise RefusedError(f"a policy of grades has the format {GRADING_FORMAT}")
    must = ("format", "id", "version", "words", "otherwise", "grades")
    text = members(policy, must, of="a policy of grades")
    best_first = words(text["words"], "the grades' words")
    otherwise = words([text["otherwise"]], "otherwise")[0]
    if otherwise in best_first:
        raise RefusedError(f"{told(otherwise)} is a grade already: write another word")
    rules = tuple(_rule(each, best_first) for each in entries(text["grades"], "grades"))
    _require_once(rules)
    return GradingPolicy(
        id=identifier(text["id"]),
        version=whole(text["version"], "version", least=1),
        words=best_first,
        otherwise=otherwise,
        rules=rules,
    )


def _rule(said: object, grades: tuple[str, ...]) -> GradeRule:
    limits = (*NUMBERS, *STEPS, "defects")
    must = ("grade", "parts", "species")
    text = members(said, must, may=(*limits, *PLACES), of="a grade")
    grade = text["grade"]
    if grade not in grades:
        raise RefusedError(
            f"{told(grade)} is none of the house's words {', '.join(grades)}"
        )
    if not set(text) & set(limits):
        raise RefusedError(
            f"the grade {grade} sets no limit, so that wood nobody looked at would "
            f"have it: write one, or leave it to otherwise"
        )
    for least, most in BOUNDS:
        _require_room(text, least, most)
    return GradeRule(
        grade=grade,
        parts=tuple(part.casefold() for part in words(text["parts"], "parts")),
        species=woods(text["species"], "species"),
        numbers={
            name: whole(text[name], name, most=most)
            for name, most in NUMBERS.items()
            if name in text
        },
        places=dict(_places(text)),
        steps={name: _step(text, name) for name in STEPS if name in text},
        defects=_defects(text["defects"]) if "defects" in text else None,
    )


def _places(text: dict[str, Any]) -> Iterator[tuple[str, int]]:
    """Yield each limit that says at how many places the rings are looked at."""
    for name, limit in PLACES.items():
        if name not in text:
            continue
        if limit not in text:
            raise RefusedError(
                f"{name} {told(text[name])} is of no limit: write {limit} beside it, "
                f"or leave it out"
            )
        # Of one place nobody knows how even it is.
        fewest = 2 if limit == "most_ring_spread_ppm" else 1
        yield limit, whole(text[name], name, least=fewest, most=MOST_PLACES)


def _require_room(text: dict[str, Any], least: str, most: str) -> None:
    if least not in text or most not in text:
        return
    if least in STEPS:
        low, high = (STEPS[name].index(_step(text, name)) for name in (least, most))
    else:
        low, high = (
            whole(text[name], name, most=NUMBERS[name]) for name in (least, most)
        )
    if low > high:
        raise RefusedError(
            f"{least} {told(text[least])} is above {most} {told(text[most])}, so that "
            f"no board keeps both: change one"
        )


def _step(text: dict[str, Any], name: str) -> str:
    value, scale = text[name], STEPS[name]
    if not isinstance(value, str) or value not in scale:
        raise RefusedError(f"{name} is one of {', '.join(scale)}, not {told(value)}")
    return value


def _defects(said: object) -> dict[str, int]:
    if not isinstance(said, list):
        raise RefusedError(
            f"defects are a list of kinds with how many of each, not {told(said)}"
        )
    allowed: dict[str, int] = {}
    for each in said:
        text = members(each, ("defect", "most"), of="a defect that is allowed")
        kind = text["defect"]
        if kind not in DEFECTS or kind in allowed:
            raise RefusedError(
                f"{told(kind)} is no kind of defect, or stands twice; choose each once "
                f"among {', '.join(DEFECTS)}"
            )
        allowed[kind] = whole(
            text["most"], f"the number of {kind}", least=1, most=MOST_DEFECTS
        )
    return allowed


def _require_once(rules: tuple[GradeRule, ...]) -> None:
    """Refuse two rules that would speak of one part in one wood for one grade."""
    seen = set()
    for rule in rules:
        for part in rule.parts:
            for wood in map(binomial, rule.species or ("",)):
                if (rule.grade, part, wood) in seen:
                    raise RefusedError(
                        f"the grade {rule.grade} is written twice for {part} of "
                        f"{wood or 'any wood'}: write it once"
                    )
                seen.add((rule.grade, part, wood))
