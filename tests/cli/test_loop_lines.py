"""Lines as they come from keyboards, scanners and files, and the silence between."""

import fcntl
import os
import resource
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cli.loop_lines import CHUNK, LONGEST_LINE, Line, Lines, Pause


class Ticks:
    """Seconds that go on by a step with each look."""

    def __init__(self, step: float = 0.0) -> None:
        self.now, self.step = 0.0, step

    def __call__(self) -> float:
        """Return the seconds, and move on."""
        self.now += self.step
        return self.now


@contextmanager
def typed(data: bytes, *, step: float = 0.0, open_end: bool = False) -> Iterator[Lines]:
    """Give the lines of what was typed; with an open end more may come."""
    reading, writing = os.pipe()
    os.write(writing, data)
    if not open_end:
        os.close(writing)
    try:
        yield Lines(reading, idle_seconds=1, tick=Ticks(step))
    finally:
        os.close(reading)
        if open_end:
            os.close(writing)


def all_of(lines: Lines) -> list[Line]:
    """Return every line up to the end."""
    found = []
    while isinstance(line := lines.next(), Line):
        found.append(line)
    return found


@given(st.lists(st.text(st.characters(exclude_characters="\r\n"), max_size=40)))
def test_lines_come_back_as_they_were_typed(texts: list[str]) -> None:
    """Whatever script they are in, and empty ones too."""
    data = "".join(f"{text}\n" for text in texts).encode("utf-8", "replace")
    with typed(data) as lines:
        expected = [t.encode("utf-8", "replace").decode("utf-8") for t in texts]
        assert [line.text for line in all_of(lines)] == expected


@pytest.mark.parametrize("end", [b"\n", b"\r", b"\r\n"])
def test_a_scanner_ends_its_line_as_it_likes(end: bytes) -> None:
    """A pair of ends gives an empty line, which says nothing."""
    with typed(b"one" + end + b"two" + end) as lines:
        assert [line.text for line in all_of(lines) if line.text] == ["one", "two"]


def test_the_last_line_counts_without_an_end() -> None:
    """A file may lack its last line end; after it there is nothing more."""
    with typed(b"one\ntwo") as lines:
        assert [line.text for line in all_of(lines)] == ["one", "two"]
        assert lines.next() is Pause.END


@pytest.mark.parametrize("size", [LONGEST_LINE + 1, CHUNK - 1, CHUNK, 1 << 20])
def test_a_line_that_is_too_long_is_counted_and_not_kept(size: int) -> None:
    """What follows it is read as ever."""
    reading, writing = os.pipe()
    lines = Lines(reading, idle_seconds=1, tick=Ticks())
    data = b"x" * size + b"\nnext\n"
    for start in range(0, len(data), 60_000):
        os.write(writing, data[start : start + 60_000])
        if start + 60_000 < len(data):
            lines._read()
            assert lines._line() is None
            assert len(lines._waiting) <= LONGEST_LINE
    os.close(writing)
    found = [lines.next(), lines.next(), lines.next()]
    os.close(reading)

    assert found == [Line(text="", excess=size), Line(text="next"), Pause.END]


def test_bytes_that_are_no_text_are_told_as_such() -> None:
    """They may come from a scanner with another code page."""
    with typed(b"shelf \xfc\n") as lines:
        assert lines.next() == Line(text="", is_text=False)


def test_silence_is_told_after_its_seconds() -> None:
    """One real second here; nothing is lost of a line that was begun."""
    reading, writing = os.pipe()
    lines = Lines(reading, idle_seconds=1, tick=time.monotonic)
    os.write(writing, b"L26-0")
    began = time.monotonic()

    assert lines.next() is Pause.IDLE
    assert 0.9 < time.monotonic() - began < 5
    os.write(writing, b"01\n")
    assert lines.next() == Line(text="L26-001")
    os.close(writing)
    os.close(reading)


def test_what_came_too_late_waits_behind_the_silence() -> None:
    """Where nothing can be waited for, a late line is not taken before the PIN."""
    with typed(b"205 g\n", step=2.0) as lines:
        assert lines.next() is Pause.IDLE
        assert lines.next(may_idle=False) == Line(text="205 g")


def test_a_terminal_that_was_hung_up_has_ended() -> None:
    """An error of reading is the end, and no trace of it reaches a person."""
    handle = os.open(os.devnull, os.O_WRONLY)
    lines = Lines(handle, idle_seconds=1, tick=Ticks())

    assert lines.next() is Pause.END
    os.close(handle)


def test_a_high_handle_is_waited_for_like_any_other() -> None:
    """A program with a thousand open files has its keyboard above them."""
    most = resource.getrlimit(resource.RLIMIT_NOFILE)[0]
    reading, writing = os.pipe()
    high = fcntl.fcntl(reading, fcntl.F_DUPFD, min(most - 1, 1500))
    os.write(writing, b"205 g\n")
    lines = Lines(high, idle_seconds=1, tick=Ticks())

    assert lines.next() == Line(text="205 g")
    for handle in (reading, writing, high):
        os.close(handle)


def test_a_plain_file_is_read_like_a_keyboard(tmp_path: Path) -> None:
    """Its lines are there at once, and then it ends."""
    (tmp_path / "round").write_text("205 g\n", encoding="utf-8")
    with (tmp_path / "round").open("rb") as stream:
        lines = Lines(stream.fileno(), idle_seconds=1, tick=Ticks())

        assert [line.text for line in all_of(lines)] == ["205 g"]
