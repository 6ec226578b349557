"""Lines from a keyboard, from a scanner that types, or from a file, and the silence.

Bytes are read as they come, without a buffer that could hold a line back while somebody
waits for its answer. A scanner may end its line with either kind of line end.
"""

import os
import selectors
import sys
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

# The longest code has 61 characters and the longest name 200 of up to four bytes.
LONGEST_LINE = 1000
CHUNK = 65_536


class Pause(Enum):
    """What may come instead of a line."""

    IDLE = "nobody typed for too long"
    END = "there is nothing more to come"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line: its text, or how many bytes it had where that was too many."""

    text: str
    excess: int = 0
    is_text: bool = True


class Lines:
    """Lines read one by one from a file handle; `tick` counts seconds, never back."""

    def __init__(
        self, handle: int, *, idle_seconds: int, tick: Callable[[], float]
    ) -> None:
        self._handle = handle
        self.idle_seconds = idle_seconds
        self._tick = tick
        self._waiting = bytearray()
        self._dropped = 0
        self._is_at_end = False

    def next(self, *, may_idle: bool = True) -> Line | Pause:
        """Return the next line, or that nobody typed, or that no line will come."""
        since = self._tick()
        while True:
            left = self.idle_seconds - (self._tick() - since) if may_idle else None
            if left is not None and left <= 0:
                # What came too late stays where it is, and is read afterwards.
                return Pause.IDLE
            line = self._line()
            if line is not None:
                return line
            if self._is_at_end:
                return Pause.END
            if self._has_come(left):
                self._read()

    def _line(self) -> Line | None:
        """Take the first whole line off what has come, or the last, unended one."""
        ends = [n for n in map(self._waiting.find, (b"\n", b"\r")) if n >= 0]
        if not ends and not (self._is_at_end and (self._waiting or self._dropped)):
            self._drop_excess()
            return None
        end = min(ends, default=len(self._waiting))
        data = bytes(self._waiting[:end])
        size, self._dropped = self._dropped + len(data), 0
        del self._waiting[: end + 1]
        if size > LONGEST_LINE:
            return Line(text="", excess=size)
        try:
            return Line(text=data.decode("utf-8"))
        except UnicodeDecodeError:
            return Line(text="", is_text=False)

    def _drop_excess(self) -> None:
        """Count what makes a line too long, and hold no more of it than needed."""
        if len(self._waiting) > LONGEST_LINE:
            self._dropped += len(self._waiting)
            self._waiting.clear()

    def _has_come(self, seconds: float | None) -> bool:
        if sys.platform == "win32":
            # There only sockets can be waited for; silence shows with the next line.
            return True
        # A plain select knows no handle above 1023, and epoll no plain file.
        with selectors.PollSelector() as waiting:
            waiting.register(self._handle, selectors.EVENT_READ)
            return bool(waiting.select(seconds))

    def _read(self) -> None:
        try:
            data = os.read(self._handle, CHUNK)
        except OSError:
            # The terminal was hung up.
            data = b""
        self._waiting += data
        self._is_at_end = not data
