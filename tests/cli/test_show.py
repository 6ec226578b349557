"""How commands answer, and how a paper is laid down."""

import io
import os
import sys
from pathlib import Path

import pytest

from cli import show
from ledger.errors import NotFoundError, RefusedError


class Screen(io.StringIO):
    """A terminal to look at."""

    def isatty(self) -> bool:
        """Somebody looks at it."""
        return True


def test_a_file_goes_again_if_what_follows_fails(tmp_path: Path) -> None:
    """A paper of which no entry speaks must not lie about."""
    path = tmp_path / "label.pdf"
    with pytest.raises(RefusedError, match="no lock"), show.new_file(path, b"%PDF"):
        raise RefusedError("no lock")

    assert not path.exists()
    with show.new_file(path, b"%PDF"):
        assert path.read_bytes() == b"%PDF"
    assert path.exists()


def test_nothing_is_written_over(tmp_path: Path) -> None:
    """Not even an empty file."""
    path = tmp_path / "label.pdf"
    path.touch()
    with pytest.raises(RefusedError, match="name another"), show.new_file(path, b"x"):
        pytest.fail("it went on")

    assert path.read_bytes() == b""


def test_a_file_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    """A folder is no file, and a name may be wrong."""
    with pytest.raises(RefusedError, match="is a folder: name a file in it"):
        show.read_file(tmp_path)
    with pytest.raises(NotFoundError, match="look at its name again"):
        show.read_file(tmp_path / "none")


def test_no_more_of_a_file_is_read_than_is_wanted(tmp_path: Path) -> None:
    """What never ends is not begun with, and a huge file is told by its size."""
    huge = tmp_path / "huge.csv"
    with huge.open("wb") as file:
        file.truncate(10**12)
    with pytest.raises(RefusedError, match="has 1000000000000 bytes of at most 10:"):
        show.read_file(huge, most=10)
    with pytest.raises(RefusedError, match="of at most 100000000: look whether"):
        show.read_file(huge)
    for endless in ("/dev/zero", "/proc/self/pagemap"):
        with pytest.raises(RefusedError, match=r"no plain file|bytes of at most"):
            show.read_file(Path(endless), most=1_000)
    (tmp_path / "small").write_bytes(b"x" * 10)
    assert show.read_file(tmp_path / "small", most=10) == b"x" * 10


def test_a_pipe_that_nobody_writes_to_is_refused(tmp_path: Path) -> None:
    """It is not waited for."""
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(RefusedError, match="is no plain file: save it as one"):
        show.read_file(tmp_path / "pipe")


@pytest.mark.parametrize(
    ("codes", "said"),
    [
        ("a", "a"),
        ("ab", "a and b"),
        ("abc", "a, b and c"),
        ("abcde", "5 pieces, a to e"),
    ],
)
def test_codes_stand_in_a_row_that_is_read_at_a_glance(codes: str, said: str) -> None:
    """All of few; of many how many, and from which to which."""
    assert show.listed(list(codes)) == said


@pytest.mark.parametrize(
    ("count", "said"), [(0, "0 boards"), (1, "1 board"), (2, "2 boards")]
)
def test_things_are_counted_as_people_count(count: int, said: str) -> None:
    """One board is no boards."""
    assert show.counted(count, "board") == said


@pytest.mark.parametrize(("texts", "said"), [([], ""), (["a"], "a\n")])
def test_a_notice_is_told(
    texts: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Beside the answer, and only if there is one."""
    show.notices(texts)

    assert capsys.readouterr() == ("", said)


def test_progress_is_shown_on_a_terminal_only(monkeypatch: pytest.MonkeyPatch) -> None:
    """A file or a pipe would be full of bars."""
    for stream, is_shown in ((Screen(), True), (io.StringIO(), False)):
        monkeypatch.setattr(sys, "stderr", stream)
        bar = show.Progress("walking")
        for done in range(101):
            bar(done, 100)
        shown = stream.getvalue()

        assert shown.endswith("█ 100\n") is is_shown
        assert shown.count("\r") == (41 if is_shown else 0)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("there is no model Tidewarden", "there is no model Tidewarden"),
        ("190\u2009g of 木材", "190\u2009g of 木材"),
        ("a\nb\r\tc", r"a\nb\r\tc"),
        ("a\u202eb\u2028", r"a\u202eb\u2028"),
        ("\udcff", r"\udcff"),
        (f"no model {'x' * 5000}: look", f"no model {'x' * 200}… look"),
    ],
)
def test_a_refusal_is_one_line(text: str, line: str) -> None:
    """Whatever was typed into it."""
    assert show.one_line(text) == line
