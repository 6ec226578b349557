"""The lines for a machine's timetable are taken apart as the machine does."""

import shlex
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from cli import record_schedule as timetable

NAMES = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), min_size=1
)


def words(folder: str) -> list[str]:
    """Return the words of a backup into a folder."""
    return timetable.command(
        Path("shop"), [Path(f"/mnt/{folder}")], keep=7, is_sealed=False, pin_file=None
    )


@given(folder=NAMES)
def test_cron_s_shell_reads_the_words_that_were_meant(folder: str) -> None:
    """Whatever the folder is called; cron takes the backslash before a per cent."""
    meant = words(folder)
    line = timetable.cron(meant)
    told = line.replace(r"\%", "%")

    assert line.startswith("20 3 * * * ")
    assert "%" not in line.replace(r"\%", "")
    assert shlex.split(told)[5:] == meant


def test_every_path_is_from_the_root() -> None:
    """A clock has no folder of its own."""
    meant = words("stick")

    assert meant[1:3] == ["record", "backup"]
    assert Path(meant[0]).is_absolute() and Path(meant[5]).is_absolute()
    assert meant[-2:] == ["--keep", "7"]


def test_a_sealed_backup_needs_its_pass_phrase_from_a_file() -> None:
    """Nobody types at night."""
    unnamed = timetable.command(
        Path("shop"), [Path("/mnt")], keep=None, is_sealed=True, pin_file=None
    )
    named = timetable.command(
        Path("shop"), [Path("/mnt")], keep=None, is_sealed=True, pin_file=Path("/p")
    )

    assert unnamed[-3:] == ["--seal-vault", "--pin-file", "/PATH/OF/A/PIN-FILE"]
    assert named[-1] == "/p"


def test_systemd_is_told_without_its_own_marks() -> None:
    """Its per cent, its dollar and its quotes are doubled or escaped."""
    service, timer = timetable.systemd(["/bin/x", '/mnt/a "b" $c %d\\e', "plain"])

    assert r'ExecStart=/bin/x "/mnt/a \"b\" $$c %%d\\e" plain' in service
    assert "OnCalendar=*-*-* 03:20:00" in timer and "Persistent=true" in timer


def test_windows_is_told_each_path_in_quotes() -> None:
    """Where there is a space in it."""
    line = timetable.schtasks(["C:\\x.exe", "D:\\my stick"])

    assert line.endswith(r'/TR "C:\x.exe \"D:\my stick\""')
    assert line.startswith("schtasks /Create /SC DAILY /ST 03:20 ")
