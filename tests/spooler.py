"""A pretend spooler: an `lp` and an `lpstat` on the path that keep what they get.

    spooler = Spooler.begun(folder, patch)
    spooler.at(13, "cuts")      before job 13 is taken, whoever handed it over is killed

Jobs are counted from 1 on, those of every process together.
"""

import os
from dataclasses import dataclass
from pathlib import Path

import pytest

QUEUES = ("roll", "office")
LP = r"""#!/bin/sh
here=$(dirname "$0")
number=$(($(ls "$here/jobs" | wc -l) + 1))
for word; do [ "$before" = -d ] && queue=$word; before=$word; done
grep -qx -- "$queue" "$here/queues" ||
    { echo "lp: The printer or class does not exist." >&2; exit 1; }
case $(cat "$here/at-$number" 2>/dev/null) in
refuses) echo "lp: the roll is empty" >&2; exit 1 ;;
dies) kill -9 $$ ;;
cuts) kill -9 $PPID; exit 1 ;;
esac
# Whoever handed it over may be dead, and another may hand over the next already.
mkdir "$here/new-$$"
printf '%s\n' "$@" >"$here/new-$$/said"
cp "$word" "$here/new-$$/file"
until mkdir "$here/lock" 2>/dev/null; do sleep 0.01; done
number=$(($(ls "$here/jobs" | wc -l) + 1))
mv "$here/new-$$" "$here/jobs/$number"
rmdir "$here/lock"
case $(cat "$here/at-$number" 2>/dev/null) in
"cuts after") kill -9 $PPID ;;
esac
echo "request id is $queue-$number (1 file(s))"
"""
LPSTAT = """#!/bin/sh
cat "$(dirname "$0")/queues"
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spooled:
    """A job as the spooler took it: the words after `lp`, and the file."""

    words: tuple[str, ...]
    data: bytes

    @property
    def title(self) -> str:
        """What the queue shows of it."""
        return self.words[self.words.index("-t") + 1]

    @property
    def options(self) -> list[str]:
        """What it says after each -o."""
        pairs = zip(self.words, self.words[1:], strict=False)
        return [value for name, value in pairs if name == "-o"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spooler:
    """The folder in which the two programs and the jobs lie."""

    folder: Path

    @classmethod
    def begun(cls, folder: Path, patch: pytest.MonkeyPatch) -> "Spooler":
        """Put the two programs on the path, before all others."""
        (folder / "jobs").mkdir()
        (folder / "queues").write_text("".join(f"{name}\n" for name in QUEUES))
        for name, script in (("lp", LP), ("lpstat", LPSTAT)):
            program = folder / name
            program.write_text(script)
            program.chmod(0o755)
        # Whoever is killed leaves a scratch file, and it is to lie with the rest.
        patch.setattr("tempfile.tempdir", str(folder))
        patch.setenv("PATH", f"{folder}{os.pathsep}{os.environ['PATH']}")
        return cls(folder=folder)

    def at(self, number: int, what: str) -> None:
        """Say what happens at a job: refuses, dies, cuts, or cuts after; "" nothing."""
        (self.folder / f"at-{number}").write_text(what)

    def count(self) -> int:
        """Count the jobs that were taken."""
        return sum(1 for _ in (self.folder / "jobs").iterdir())

    def jobs(self, since: int = 0) -> list[Spooled]:
        """Return the jobs that were taken after so many, the first first."""
        numbers = range(since + 1, self.count() + 1)
        folders = [self.folder / "jobs" / str(number) for number in numbers]
        return [
            Spooled(
                words=tuple((job / "said").read_text().splitlines()),
                data=(job / "file").read_bytes(),
            )
            for job in folders
        ]
