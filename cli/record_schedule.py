"""Lines for the machine's own timetable, so that a backup is made every night.

Nothing is written: whoever keeps the machine puts them where they belong.

Source: crontab(5); systemd.timer(5) and systemd.service(5), "Command lines";
"schtasks create" of Windows.
"""

import shlex
import sys
from collections.abc import Sequence
from pathlib import Path
from shutil import which

HOUR, MINUTE = 3, 20


def command(
    shop: Path,
    folders: Sequence[Path],
    *,
    keep: int | None,
    is_sealed: bool,
    pin_file: Path | None,
) -> list[str]:
    """Return the words of a backup by the clock, every path from the root."""
    words = [program(), "record", "backup"]
    words += [str(folder.expanduser().absolute()) for folder in folders]
    words += ["--shop", str(shop.absolute())]
    words += ["--keep", str(keep)] if keep is not None else []
    if is_sealed:
        words.append("--seal-vault")
        kept = pin_file.absolute() if pin_file else "/PATH/OF/A/PIN-FILE"
        words += ["--pin-file", str(kept)]
    return words


def program() -> str:
    """Return where this program lies, for a clock that knows no search path."""
    found = which(sys.argv[0]) or which("flitchbook") or sys.argv[0]
    return str(Path(found).absolute())


def cron(words: Sequence[str]) -> str:
    """Return a line for crontab; a per cent sign would end it there."""
    line = shlex.join(words).replace("%", r"\%")
    return f"{MINUTE} {HOUR} * * * {line}"


def systemd(words: Sequence[str]) -> tuple[str, str]:
    """Return a service and its timer."""
    service = (
        "[Unit]\n"
        "Description=Backup of the shop's record\n"
        "\n"
        "[Service]\n"
        "Type=oneshot\n"
        f"ExecStart={' '.join(map(_unit_word, words))}"
    )
    timer = (
        "[Unit]\n"
        "Description=Backup of the shop's record every night\n"
        "\n"
        "[Timer]\n"
        f"OnCalendar=*-*-* {HOUR:02}:{MINUTE:02}:00\n"
        "Persistent=true\n"
        "\n"
        "[Install]\n"
        "WantedBy=timers.target"
    )
    return service, timer


def schtasks(words: Sequence[str]) -> str:
    """Return a command for the task scheduler of Windows."""
    line = " ".join(rf"\"{word}\"" if " " in word else word for word in words)
    at = f"{HOUR:02}:{MINUTE:02}"
    return f'schtasks /Create /SC DAILY /ST {at} /TN "Flitchbook backup" /TR "{line}"'


def lines(words: Sequence[str]) -> list[str]:
    """Return all three, each under what it is for."""
    service, timer = systemd(words)
    return [
        "# cron: crontab -e",
        cron(words),
        "",
        "# systemd: flitchbook-backup.service",
        service,
        "",
        "# systemd: flitchbook-backup.timer, then systemctl enable --now "
        "flitchbook-backup.timer",
        timer,
        "",
        "# Windows",
        schtasks(words),
    ]


def _unit_word(word: str) -> str:
    """Quote a word as a unit file wants it."""
    plain = word.replace("\\", "\\\\").replace('"', '\\"')
    plain = plain.replace("%", "%%").replace("$", "$$")
    return f'"{plain}"' if plain != word or " " in plain else plain
