r"""A real terminal with somebody at it; the loop runs behind it, a process of its own.

with at_terminal(folder) as terminal:
    terminal.hears("badge or name?")
    terminal.types("02\n")
"""

import os
import pty
import select
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from ledger.quantities import THIN_SPACE

ROOT = Path(__file__).parents[2]
PATIENCE_SECONDS = 30
# The clock begins twelve days after the shop's newest entry, and goes a second a look.
# Who runs the tests in the background is deaf to Ctrl-C; whoever sits here is not.
PROGRAM = """
import signal
from datetime import UTC, datetime, timedelta
from cli import context, main
signal.signal(signal.SIGINT, signal.default_int_handler)
at = [datetime(2026, 1, 17, 8, tzinfo=UTC)]
def now():
    at[0] += timedelta(seconds=1)
    return at[0]
context.now = now
main.run()
"""


@dataclass(slots=True, kw_only=True)
class Terminal:
    """The near end of a terminal: what was shown so far, and how much was heard."""

    process: subprocess.Popen[bytes]
    handle: int
    shown: str = ""
    heard: int = 0

    def types(self, text: str) -> None:
        """Type or scan a text, control characters too."""
        os.write(self.handle, text.encode())

    def hears(self, text: str) -> str:
        """Wait until a text is shown, and return all that came before it."""
        until = time.monotonic() + PATIENCE_SECONDS
        while text not in self.shown[self.heard :]:
            assert self._reads(until), f"{text!r} was not in {self.shown!r}"
        start = self.heard
        self.heard = self.shown.index(text, start) + len(text)
        return self.shown[start : self.heard]

    def ends(self) -> int:
        """Wait until the program ends, and return its exit code."""
        until = time.monotonic() + PATIENCE_SECONDS
        while self._reads(until):
            pass
        return self.process.wait(max(until - time.monotonic(), 1))

    def _reads(self, until: float) -> bool:
        """Take in what is shown next; false where nothing more comes in time."""
        left = max(until - time.monotonic(), 0)
        if not select.select([self.handle], [], [], left)[0]:
            return False
        try:
            data = os.read(self.handle, 65_536)
        except OSError:
            return False  # the far end is closed
        self.shown += data.decode(errors="replace").replace(THIN_SPACE, " ")
        return bool(data)


@contextmanager
def at_terminal(folder: Path, *options: str) -> Iterator[Terminal]:
    """Begin a round at a terminal, in the shop of a folder."""
    near, far = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-c", PROGRAM, "loop", *options],
        cwd=folder,
        env=environment(),
        stdin=far,
        stdout=far,
        stderr=far,
        preexec_fn=partial(os.login_tty, far),
    )
    os.close(far)
    try:
        yield Terminal(process=process, handle=near)
    finally:
        process.kill()
        process.wait()
        os.close(near)


def piped(folder: Path, options: Sequence[str]) -> subprocess.Popen[bytes]:
    """Begin a round whose lines come through a pipe."""
    return subprocess.Popen(
        [sys.executable, "-c", PROGRAM, "loop", *options],
        cwd=folder,
        env=environment(),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )


def environment() -> dict[str, str]:
    """Return the environment of a station: its shop, its account, no PIN in it."""
    ours = {k: v for k, v in os.environ.items() if not k.startswith("FLITCHBOOK")}
    state = os.environ["FLITCHBOOK_STATE"]
    told = {"FLITCHBOOK_SHOP": "shop", "FLITCHBOOK_STATE": state}
    return {**ours, **told, "PYTHONPATH": str(ROOT)}
