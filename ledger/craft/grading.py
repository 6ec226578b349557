"""What was looked at on a board, and the grade the house's limits give it, with why."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from ledger.craft.grading_policy import (
    COLOURS,
    DEFECTS,
    STRENGTHS,
    GradeRule,
    GradingPolicy,
)
from ledger.craft.rings import (
    RingCount,
    mean_ring_width_um,
    ring_spread_ppm,
    surest_ring_spread_ppm,
)
from ledger.errors import RefusedError
from ledger.quantities import (
    degrees,
    factor,
    kilograms_per_cubic_metre,
    millimetres,
    percent,
)
from ledger.scales import in_a_row, shown

# What stands between a grade and what nobody looked at for it.
UNKNOWN = " is not known: "


@dataclass(frozen=True, slots=True, kw_only=True)
class Defect:
    """One defect that was seen; what lies outside the part's outline is cut away."""

    kind: str
    is_outside: bool = False

    def __post_init__(self) -> None:
        if self.kind not in DEFECTS:
            raise RefusedError(
                f"{shown(self.kind)} is no kind of defect; choose among "
                f"{', '.join(DEFECTS)}"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Findings:
    """What was looked at on a board meant for a part; what nobody looked at is absent.

    `ring_angles_millidegree` are how far the rings stand from quarter, at each place;
    runout and skew are how the grain leaves the face, and the line in its plane.
    `figure` and `silk` are of STRENGTHS, `colour` of COLOURS. `defects` that are empty
    were looked for and not found. `radiation_ratio_milli` [1000 m4/(kg s)].
    """

    part: str
    species: str
    rings: tuple[RingCount, ...] = ()
    ring_angles_millidegree: tuple[int, ...] = ()
    runout_millidegree: int | None = None
    skew_millidegree: int | None = None
    figure: str | None = None
    silk: str | None = None
    colour: str | None = None
    defects: tuple[Defect, ...] | None = None
    density_gram_per_m3: int | None = None
    radiation_ratio_milli: int | None = None
    q_milli: int | None = None

    def __post_init__(self) -> None:
        for name, scale in (
            ("figure", STRENGTHS),
            ("silk", STRENGTHS),
            ("colour", COLOURS),
        ):
            value = getattr(self, name)
            if value is not None and value not in scale:
                raise RefusedError(
                    f"{name} {shown(value)} is not one of {', '.join(scale)}"
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Graded:
    """The grade that a board has by a policy, or none yet, and every reason.

    `open` are better grades that it might have, had somebody looked.
    """

    grade: str | None
    open: tuple[str, ...]
    reasons: tuple[str, ...]
    policy: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """One thing that limits may ask for: what it is called, and what was found.

    `places` are those at which it was `looked`, where that counts; `surest` is what no
    further place can bring it below.
    """

    noun: str
    unit: Callable[[int], str]
    value: int | None
    surest: int | None = None
    places: int = 0
    looked: str = ""

    def lack(self, least_places: int) -> str | None:
        """Say what was not looked at, or not at enough places; None if it was."""
        if 0 < self.places < least_places:
            noun = "place" if self.places == 1 else "places"
            return f"{self.looked} at {self.places} {noun} of {least_places}"
        return f"nobody measured the {self.noun}" if self.value is None else None


def grade_of(findings: Findings, policy: GradingPolicy) -> Graded:
    """Return the best grade all whose limits a board keeps, and what kept it from more.

    A limit on what nobody looked at, or not at as many places as the policy asks, is
    never kept; what no further place can mend is against a grade at once. Where a grade
    below is kept all the same the board has that one, and the better one stays open;
    where none is kept and one is open, the board has no grade yet.

    Source: the shop's policy; nature sets none.
    """
    rules = policy.rules_for(findings.part, findings.species)
    if not rules:
        lack = f"no grade for {findings.part} of {findings.species} in {policy.name}"
        return Graded(grade=None, open=(), reasons=(lack,), policy=policy.name)
    reasons: list[str] = []
    unknown: list[str] = []
    kept = None
    for rule in rules:
        broken, unseen = _judged(findings, rule)
        if not broken and not unseen:
            kept = rule.grade
            break
        if broken:
            reasons += [f"not {rule.grade}: {why}" for why in broken]
        else:
            unknown.append(rule.grade)
            reasons += [f"{rule.grade}{UNKNOWN}{why}" for why in unseen]
    if kept is None and not unknown:
        kept = policy.otherwise
    return Graded(
        grade=kept, open=tuple(unknown), reasons=tuple(reasons), policy=policy.name
    )


def _judged(findings: Findings, rule: GradeRule) -> tuple[list[str], list[str]]:
    """Return what is against a grade, and what nobody looked at for it."""
    broken: list[str] = []
    unseen: list[str] = []
    looked = _looked(findings)
    for name, limit in rule.numbers.items():
        bound, _, what = name.partition("_")
        found = looked[what]
        lack = found.lack(rule.places.get(name, 0))
        if found.value is None or (lack and (found.surest or 0) <= limit):
            unseen.append(str(lack))
        else:
            _hold(found.noun, found.value, limit, bound, found.unit, broken)
    for name, word in rule.steps.items():
        bound, _, what = name.partition("_")
        _hold_step(what, getattr(findings, what), word, bound, broken, unseen)
    if rule.defects is not None:
        _hold_defects(findings.defects, rule.defects, broken, unseen)
    # A least and a most of one thing that nobody measured are one lack.
    return broken, list(dict.fromkeys(unseen))


def _looked(found: Findings) -> dict[str, Looked]:
    """Return what was measured by the name that a limit has after least or most."""
    density = found.density_gram_per_m3
    return {
        "ring_width_um": Looked(
            noun="ring width", unit=millimetres, value=mean_ring_width_um(found.rings)
        ),
        "ring_spread_ppm": Looked(
            noun="spread of the ring widths",
            unit=percent,
            value=ring_spread_ppm(found.rings),
            surest=surest_ring_spread_ppm(found.rings),
            places=len(found.rings),
            looked="rings were counted",
        ),
        "ring_angle_millidegree": _angle(found.ring_angles_millidegree),
        "runout_millidegree": Looked(
            noun="runout", unit=degrees, value=_size(found.runout_millidegree)
        ),
        "skew_millidegree": Looked(
            noun="skew", unit=degrees, value=_size(found.skew_millidegree)
        ),
        "density_gram_per_m3": Looked(
            noun="density", unit=kilograms_per_cubic_metre, value=density
        ),
        "radiation_ratio_milli": Looked(
            noun="radiation ratio", unit=factor, value=found.radiation_ratio_milli
        ),
        "q_milli": Looked(noun="apparent Q", unit=factor, value=found.q_milli),
    }


def _angle(angles: Sequence[int]) -> Looked:
    """Return the steepest ring angle, which no further place makes less steep."""
    steepest = max(map(abs, angles), default=None)
    return Looked(
        noun="ring angle",
        unit=degrees,
        value=steepest,
        surest=steepest,
        places=len(angles),
        looked="the ring angle was measured",
    )


def _size(angle: int | None) -> int | None:
    return None if angle is None else abs(angle)


def _hold(
    noun: str,
    value: int,
    limit: int,
    bound: str,
    unit: Callable[[int], str],
    broken: list[str],
) -> None:
    if bound == "least" and value < limit:
        broken.append(f"{noun} {unit(value)} is below {unit(limit)}")
    if bound == "most" and value > limit:
        broken.append(f"{noun} {unit(value)} is above {unit(limit)}")


def _hold_step(
    what: str,
    word: str | None,
    limit: str,
    bound: str,
    broken: list[str],
    unseen: list[str],
) -> None:
    scale = COLOURS if what == "colour" else STRENGTHS
    if word is None:
        unseen.append(f"nobody looked at the {what}")
    elif bound == "least" and scale.index(word) < scale.index(limit):
        broken.append(f"{what} is {word}, and at least {limit} is asked")
    elif bound == "most" and scale.index(word) > scale.index(limit):
        broken.append(f"{what} is {word}, and at most {limit} is allowed")
    elif bound == "worst" and scale.index(word) > scale.index(limit):
        broken.append(f"{what} is {word}, and {limit} is asked")


def _hold_defects(
    defects: tuple[Defect, ...] | None,
    allowed: dict[str, int],
    broken: list[str],
    unseen: list[str],
) -> None:
    if defects is None:
        unseen.append("nobody looked for defects")
        return
    inside = [defect.kind for defect in defects if not defect.is_outside]
    for kind in dict.fromkeys(inside):
        number, most = inside.count(kind), allowed.get(kind, 0)
        if number > most:
            may = f"{most} allowed" if most else "none allowed"
            broken.append(f"defect {kind}: {number} inside the outline, {may}")


def in_short(reasons: Iterable[str]) -> list[str]:
    """Say in one line what was not looked at for each grade, and of grades alike once.

    first and second are not known: nobody measured the runout; nobody looked at …

    Source: the shop's own; these are its reasons in fewer words.
    """
    unseen: dict[str, list[str]] = {}
    said = []
    for reason in reasons:
        grade, is_open, lack = reason.partition(UNKNOWN)
        if is_open:
            unseen.setdefault(grade, []).append(lack)
        else:
            said.append(reason)
    alike: dict[str, list[str]] = {}
    for grade, lacks in unseen.items():
        alike.setdefault("; ".join(lacks), []).append(grade)
    for lack, grades in alike.items():
        are = "is" if len(grades) == 1 else "are"
        said.append(f"{in_a_row(grades)} {are} not known: {lack}")
    return said
