"""A copy is tried as on the day after a fire, and the first step that fails is told."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from itertools import count
from pathlib import Path

import pytest

from ledger.acts import copies
from ledger.acts.rehearsing import Step, Trial, rehearse
from ledger.acts.shop import Shop, open_shop
from ledger.errors import RefusedError
from tests.conftest import entropy_from
from tests.ledger.acts.test_copying import lock
from tests.skerrymoor import PINS, Loft

STEPS = [
    "put back",
    "audited",
    "opened",
    "read a certificate",
    "folded again",
    "tried a key",
    "would be lost",
]


def trial(loft: Loft) -> Trial:
    """Return a trial whose clock goes on a second with each look."""
    seconds = count()
    return Trial(
        now=loft.clock,
        entropy=entropy_from("trial"),
        clock=lambda: float(next(seconds)),
        badge="01",
        pin=PINS["01"],
        living=loft.shop,
    )


def tried(copy: Path, how: Trial) -> list[Step]:
    """Rehearse in a folder beside the copy."""
    return list(rehearse(copy, copy.parent / "scratch" / "shop", how))


def test_every_step_is_told_with_its_seconds(certified: Loft, tmp_path: Path) -> None:
    """Of a sealed copy too, with what came since and would be lost."""
    copies.publish_keys(certified.shop, certified.roots[:2])
    copy = copies.back_up(certified.shop, tmp_path / "stick", lock=lock())
    certified.model("Slipway")
    steps = tried(copy, replace(trial(certified), lock=lock()))
    said = {step.what: step.said for step in steps}

    assert list(said) == STEPS
    assert all(step.is_sound and step.seconds == 1 for step in steps)
    assert "whole at every level" in said["audited"]
    assert said["read a certificate"].startswith("C-2026-00001: YES")
    assert said["opened"].endswith("keys-0001.json")
    assert said["folded again"].endswith("the same as before")
    assert "of badge 01 opens" in said["tried a key"]
    assert said["would be lost"].startswith("1 entry: the copy ends with entry ")


def test_without_shop_key_or_certificate_it_does_what_it_can(
    loft: Loft, tmp_path: Path
) -> None:
    """As after a fire, when nobody is there yet to give a PIN."""
    copy = copies.back_up(loft.shop, tmp_path / "stick")
    steps = tried(copy, replace(trial(loft), badge="", living=None))
    said = {step.what: step.said for step in steps}

    assert list(said) == STEPS
    assert said["read a certificate"] == "no certificate was issued yet"
    assert said["tried a key"].startswith("not tried: name somebody with --by")
    assert said["would be lost"].endswith(
        "the shop is not at hand to say what came since"
    )
    with pytest.raises(RefusedError, match="is not empty"):
        tried(copy, trial(loft))


def change_a_record(copy: Path) -> None:
    """Write another model into the log."""
    path = copy / "ledger.sqlite3"
    path.write_bytes(path.read_bytes().replace(b'"Tidewarden"', b'"Tidewarder"'))


def lose_a_paper(copy: Path) -> None:
    """Lose a file that an entry names."""
    next((copy / "attachments").iterdir()).unlink()


def fold_otherwise(copy: Path) -> None:
    """Change what is shown, and nothing of the record."""
    with closing(sqlite3.connect(copy / "ledger.sqlite3")) as connection:
        connection.execute("UPDATE lot SET species = 'Dalbergia nigra'")
        connection.commit()


@pytest.mark.parametrize(
    "damage",
    [change_a_record, lose_a_paper, fold_otherwise],
    ids=lambda damage: str(damage.__name__),
)
def test_a_copy_that_is_not_whole_does_not_come_back(
    certified: Loft, tmp_path: Path, damage: Callable[[Path], None]
) -> None:
    """It ends with the audit, and says what was found."""
    copy = copies.back_up(certified.shop, tmp_path / "stick")
    damage(copy)
    steps = tried(copy, trial(certified))

    assert [step.what for step in steps] == ["put back", "audited"]
    assert not steps[-1].is_sound
    assert steps[-1].said.startswith("it is not whole: ")


def test_a_wrong_pin_is_the_first_step_that_fails(loft: Loft, tmp_path: Path) -> None:
    """The living shop makes nobody wait for it."""
    copy = copies.back_up(loft.shop, tmp_path / "stick")
    steps = tried(copy, replace(trial(loft), pin="no such PIN"))

    assert [step.is_sound for step in steps] == [True] * 5 + [False]
    assert "does not open the key" in steps[-1].said
    assert not (loft.shop.keys / "wrong-pins.json").exists()


def test_a_shop_that_lost_entries_is_found_by_its_copy(
    loft: Loft, tmp_path: Path
) -> None:
    """Whether it is shorter than its copy, or says something else."""
    early = copies.back_up(loft.shop, tmp_path / "early")
    loft.supplier("A sawyer")
    late = copies.back_up(loft.shop, tmp_path / "late")
    older = replace(trial(loft), living=reopened(early, loft))
    (short,) = tried(late, older)[-1:]
    other = reopened(early, loft)
    replaced = replace(loft, shop=other)
    replaced.supplier("Another sawyer")
    (else_,) = tried(late.rename(tmp_path / "moved"), replace(older, living=other))[-1:]
    other.close()

    assert not short.is_sound and "some are missing there" in short.said
    assert not else_.is_sound and "says something else there" in else_.said


def reopened(copy: Path, loft: Loft) -> Shop:
    """Open a copy as if it were the shop."""
    return open_shop(copy, now=loft.clock, entropy=entropy_from(copy.parent.name))
