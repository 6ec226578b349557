"""The README's twenty-five questions, each asked of the shop of the story.

Every command is taken from the table as it stands there; a word in capitals stands for
a code of the story. An answer is JSON, names the entries behind it, and has what the
table says of how sure it is.
"""

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from demo import cast, scenario
from ledger.acts import copies
from ledger.acts.certificates import certificate_paper
from ledger.ids import parse_any
from ledger.views.builds import Build
from ledger.views.wood import documents_of
from tests.cli.bench import Bench, opened
from tests.skerrymoor import CHEAP

ROOT = Path(__file__).parent.parent
ROW = re.compile(
    r"^\| (\d+) \| ([^|]+) \| `flitchbook ([^`]+)` \| (.+) \|$", re.MULTILINE
)
WORD = re.compile(r"\b[A-Z]{3,}\b")
# Members that hold the numbers of entries, or how many of them were walked.
BEHIND = re.compile(r"(?:^|_)(?:entry|entries|idx|by)$|^size$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A row of the table: its number, the command, the members that tell how sure."""

    number: int
    command: str
    sure: tuple[str, ...]


def questions() -> list[Question]:
    """Return the table's rows."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    section = text.partition("## Twenty-five questions\n")[2].partition("\n## ")[0]
    return [
        Question(
            number=int(number),
            command=command,
            sure=tuple(re.findall(r"`([^`]+)`", sure)),
        )
        for number, _, command, sure in ROW.findall(section)
    ]


@pytest.fixture(scope="module")
def story(tmp_path_factory: pytest.TempPathFactory) -> scenario.Story:
    """Give the story, with a keys file and a certificate on the bench."""
    folder = tmp_path_factory.mktemp("questions")
    story = scenario.play(folder, stretching=CHEAP)
    paper = certificate_paper(story.shop, story.certificate)
    (folder / "certificate").write_bytes(paper.file.data)
    keys = copies.publish_keys(story.shop, story.roots[:2])
    (folder / "keys.json").write_bytes(keys.read_bytes())
    return story


@pytest.fixture
def bench(
    story: scenario.Story,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> Bench:
    """Give a bench in the shop of the story, the lead's PIN at hand, the day after."""
    bench = opened(story.shop.folder.parent, monkeypatch, capsys)
    bench.file("pins", f"{cast.LEAD.badge} {cast.LEAD.pin}\n")
    bench.at = story.clock.at + timedelta(days=1)
    monkeypatch.setenv("FLITCHBOOK_BY", cast.LEAD.badge)
    return bench


def codes(story: scenario.Story, bench: Bench) -> dict[str, str]:
    """Return what each word in capitals stands for, with a batch and a doubt."""
    day = bench.at.date()
    soon = day + timedelta(days=30)
    batch = bench.data(f"material receive 'hide glue' --as glue --expires {soon}")
    with story.shop.store.reading() as session:
        paper = documents_of(session, story.lot)[0].code
        model = session.get_one(Build, story.serial).model
    skilled = next(b for b in cast.BUILDERS if "frets" in b.may)
    return {
        "LOT": story.lot,
        "SERIAL": story.serial,
        "OPEN": story.next_serial,
        "BOARD": story.looked_at,
        "BADGE": skilled.badge,
        "WORK": "frets",
        "DAY": (day + timedelta(days=9)).isoformat(),
        "PAPER": paper,
        "CERTIFICATE": story.certificate,
        "FILE": "certificate",
        "KEYS": "keys.json",
        "BATCH": batch["batch"],
        "MODEL": f"'{model}'",
    }


def members(told: Any) -> Iterator[tuple[str, Any]]:
    """Yield every named member of an answer, however deep."""
    if isinstance(told, dict):
        for name, value in told.items():
            yield name, value
            yield from members(value)
    elif isinstance(told, list):
        for value in told:
            yield from members(value)


def entries(told: Any) -> list[int]:
    """Return the numbers of the entries that an answer names."""
    found: list[int] = []
    for name, value in members(told):
        if BEHIND.search(name):
            rows = value if isinstance(value, list) else [value]
            found += [row for row in rows if type(row) is int]
    return found


def test_there_is_a_command_for_each_of_the_twenty_five() -> None:
    """Each once, in order."""
    assert [row.number for row in questions()] == list(range(1, 26))


def test_each_question_is_answered_with_its_entries_and_how_sure_it_is(
    story: scenario.Story, bench: Bench
) -> None:
    """By its one command; the doubt comes last, for it blocks what rests on it."""
    known, lacking = codes(story, bench), []
    for row in sorted(questions(), key=lambda row: "HOLD" in row.command):
        if "HOLD" in row.command:
            held = bench.data(f"hold place {known['PAPER']} --why 'no stamp'")
            known["HOLD"] = held["hold"]
        command = WORD.sub(lambda found: known.get(found[0], found[0]), row.command)
        said = bench.run(f"{command} --json")
        told = json.loads(said.out) if said.code == 0 else {}
        names = {name for name, _ in members(told)}
        if not entries(told) or not set(row.sure) <= names:
            lacking.append((row.number, command, said.err or said.out[:200]))
        size = story.shop.store.head().size

        assert all(0 <= entry <= size for entry in entries(told)), command
    assert lacking == []


def test_what_stands_for_a_code_is_one(story: scenario.Story, bench: Bench) -> None:
    """A word in capitals that nothing stands for would be asked as it is."""
    known = codes(story, bench).keys() | {"HOLD"}
    asked = {word for row in questions() for word in WORD.findall(row.command)}

    assert asked <= known
    assert str(parse_any(story.lot)) == story.lot
