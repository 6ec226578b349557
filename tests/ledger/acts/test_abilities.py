"""Who might do what at a moment: what came later, and what ended, is told apart."""

import pytest

from ledger.acts.abilities import Abilities, Judged, When, when_signed
from ledger.views.builds import SignedStep
from ledger.views.training import AbilitySpan, SkillCheck, Training

WHO = "a" * 32


def at(day: int, hour: int = 12) -> str:
    """Return a moment in January."""
    return f"2026-01-{day:02d}T{hour:02d}:00:00Z"


def span(idx: int, name: str, day: int, ended: int | None = None) -> AbilitySpan:
    """Return a role or qualification that was held from a day on."""
    what = "role" if name == "lead" else "qualification"
    row = AbilitySpan(idx=idx, subject=WHO, what=what, name=name, at=at(day))
    if ended is not None:
        row.ended_idx, row.ended_at = ended, at(ended)
    return row


def learning(idx: int, day: int, ended: int | None = None) -> Training:
    """Return a training in frets from a day on."""
    row = Training(
        idx=idx, subject=WHO, qualification="frets", trainer="b" * 32, at=at(day)
    )
    if ended is not None:
        row.ended_idx, row.ended_at = ended, at(ended)
    return row


def looked_at(idx: int, until: int) -> SkillCheck:
    """Return that the frets were looked at, and count until a day."""
    return SkillCheck(
        idx=idx,
        subject=WHO,
        qualification="frets",
        until=f"2026-01-{until:02d}",
        at=at(idx),
    )


def on(day: int, *, late: bool = False) -> When:
    """Return a day: entries are numbered as the days are, an hour before noon."""
    happened_at = at(day) if late else None
    idx = 31 if late else day
    return When(idx=idx, day=f"2026-01-{day:02d}", happened_at=happened_at)


def how(day: int, *rows: object, late: bool = False) -> str:
    """Tell how somebody might press frets on a day."""
    able = Abilities(
        spans=tuple(row for row in rows if isinstance(row, AbilitySpan)),
        trainings=tuple(row for row in rows if isinstance(row, Training)),
        checks=tuple(row for row in rows if isinstance(row, SkillCheck)),
    )
    return able.at("frets", on(day, late=late)).how


HELD = span(5, "frets", 5, ended=9)


@pytest.mark.parametrize("late", [False, True])
@pytest.mark.parametrize(
    ("day", "rows", "said"),
    [
        (4, (HELD,), "none"),
        (7, (HELD,), "qualified"),
        (10, (HELD,), "none"),
        (12, (HELD, span(11, "frets", 11)), "qualified"),
        (7, (span(5, "necks", 5),), "none"),
        (7, (span(5, "lead", 5),), "lead"),
        (7, (learning(5, 5, ended=9),), "supervised"),
        (10, (learning(5, 5, ended=9),), "none"),
        (8, (HELD, looked_at(6, until=8)), "qualified"),
        (8, (HELD, looked_at(6, until=7)), "lapsed"),
        (8, (HELD, looked_at(6, until=7), learning(7, 7)), "supervised"),
        (8, (HELD, looked_at(6, until=6), looked_at(7, until=30)), "qualified"),
        (8, (HELD, looked_at(4, until=4)), "qualified"),
        (8, (span(5, "lead", 5), HELD, looked_at(6, until=7)), "lead"),
    ],
)
def test_a_moment_is_judged_by_what_held_at_it(
    day: int, rows: tuple[object, ...], said: str, *, late: bool
) -> None:
    """Whether it is entered at once or late."""
    assert how(day, *rows, late=late) == said


def test_a_hand_in_any_of_several_works_is_one() -> None:
    """A work that is learnt counts, one that lapsed does not."""
    able = Abilities(spans=(HELD,), trainings=(), checks=(looked_at(6, until=7),))

    assert not able.any_of(("necks", "frets"), on(8))
    assert able.any_of(("necks", "frets"), on(7))


def signed(day: int, *, late: bool = False) -> SignedStep:
    """Return a step that was signed on a day, or entered on the last one."""
    when = on(day, late=late)
    return SignedStep(
        idx=when.idx,
        serial="26-0001-8",
        step="press the frets",
        meaning="did",
        key="k",
        at=at(31) if late else at(day),
        happened_at=when.happened_at,
    )


@pytest.mark.parametrize("checks", [(), (looked_at(12, until=18),)])
@pytest.mark.parametrize("late", [False, True])
def test_judged_between_changes_is_judged_each_time(
    checks: tuple[SkillCheck, ...], late: bool
) -> None:
    """Whatever day it is asked of, in whichever order, the answer is the same."""
    spans = (span(4, "frets", 4, ended=9), span(11, "frets", 11), span(25, "lead", 25))
    able = Abilities(spans=spans, trainings=(learning(2, 2, ended=4),), checks=checks)
    judged = Judged.of(able)
    for day in (*range(1, 31), *range(30, 0, -1)):
        row = signed(day, late=late)
        own = able.to_say("did", "frets", when_signed(row))

        assert judged.to_say("did", "frets", row) == own
