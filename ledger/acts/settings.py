"""A shop's settings: the few lines of its shop.toml."""

import json
import re
import tomllib
from dataclasses import asdict, dataclass
from pathlib import Path

from ledger.acts.layout import LEDGER
from ledger.codes import shown
from ledger.errors import NotFoundError, RefusedError
from ledger.languages import LANGUAGES
from ledger.serials import SerialPattern, read_serial
from ledger.trade.movement import UNION, place_for
from ledger.trade.tables import places

FILE = "shop.toml"
PAPERS = ("A4", "Letter")
# What a symbol's capitals can hold, so that it needs no more room.
LONGEST_HOST = 33  # beside HTTPS://, /B/ and the longest board code, 61 in all
LETTERHEAD_LINES, LETTERHEAD_LINE = 3, 80
EMBLEM = re.compile(r"[^/\\\x00-\x1f]{1,120}\.(?:png|svg|PNG|SVG)")
HOST = re.compile(r"[A-Za-z0-9-]+(?:\.[A-Za-z0-9-]+)*(?:/[A-Za-z0-9.-]+)*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How a shop writes, prints and stores; nothing in it is evidence of anything.

    country     whence its journeys set out unless they say otherwise: two letters of
                ISO 3166-1, empty where each of them says it
    language    what its papers speak unless another is asked for: two letters
    emblem      the name of a PNG or SVG in the shop's folder, empty where there is none
    letterhead  what stands under the shop's name on letters, such as its address: up
                to three lines, parted by | or written one under another
    """

    place: str = ""
    country: str = ""
    paper: str = "A4"
    language: str = "en"
    emblem: str = ""
    letterhead: str = ""
    label_host: str = ""
    serial_pattern: str = "{year}-{number:4}-{check}"
    first_serial: str = ""
    database: str = ""
    backup_to: str = ""

    @property
    def backup_folders(self) -> tuple[Path, ...]:
        """The folders into which backups go, where nobody names another."""
        named = (text.strip() for text in self.backup_to.split("|"))
        return tuple(Path(text).expanduser() for text in named if text)

    @property
    def letterhead_lines(self) -> tuple[str, ...]:
        """The lines of the letterhead, without empty ones.

        Raises RefusedError where they have no room under a name: only what is drawn
        under a letterhead stops there, and not the shop.
        """
        said = self.letterhead.replace("|", "\n").split("\n")
        lines = tuple(line.strip() for line in said if line.strip())
        _require_letterhead(lines)
        return lines

    @property
    def pattern(self) -> SerialPattern:
        """The pattern of the shop's serials."""
        return SerialPattern.parse(self.serial_pattern)

    def url(self, folder: Path) -> str:
        """Return the address of the shop's database: its own file if none is named."""
        return self.database or f"sqlite:///{folder / LEDGER}"


def write_settings(folder: Path, settings: Settings) -> None:
    """Write shop.toml; `read_settings` is the inverse."""
    # JSON's strings are TOML's but for U+007F, which TOML wants escaped.
    lines = (
        f"{k} = {json.dumps(v, ensure_ascii=False)}".replace("\x7f", "\\u007f")
        for k, v in asdict(settings).items()
    )
    path = folder / FILE
    # Before a byte is in it: the database's address may hold a password.
    path.touch(mode=0o600)
    path.chmod(0o600)
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def read_settings(folder: Path) -> Settings:
    """Read shop.toml.

    Raises NotFoundError where there is no shop, RefusedError where a line is unknown.
    """
    path = folder / FILE
    try:
        said = tomllib.loads(path.read_text(encoding="utf-8"))
    except (FileNotFoundError, NotADirectoryError):
        raise NotFoundError(
            f"there is no shop in {folder}: name its folder with --shop, "
            f"or open one with flitchbook shop open"
        ) from None
    except (OSError, ValueError, RecursionError) as problem:
        raise RefusedError(f"{path} cannot be read: {problem}") from None
    known = Settings()
    for name, value in said.items():
        if name not in asdict(known):
            raise RefusedError(f"{path}: {name} is no setting of a shop")
        if not isinstance(value, str):
            raise RefusedError(
                f'{path}: {name} is no text: write it in quotes, as {name} = "…"'
            )
    settings = Settings(**said)
    try:
        _require_usable(settings)
    except RefusedError as fault:
        raise RefusedError(f"{path}: {fault}") from None
    return settings


def require_sound(settings: Settings) -> None:
    """Refuse what would stop the shop later, at the first serial, label or letter."""
    _require_usable(settings)
    _require_letterhead(settings.letterhead_lines)


def _require_usable(settings: Settings) -> None:
    """Refuse that without which no act of the shop is sure."""
    if settings.paper not in PAPERS:
        raise RefusedError(
            f"the paper is {' or '.join(PAPERS)}, not {settings.paper!r}"
        )
    if settings.language not in LANGUAGES:
        raise RefusedError(
            f"the language of papers is one of {', '.join(LANGUAGES)}, not "
            f"{settings.language!r}"
        )
    host = settings.label_host
    if host and HOST.fullmatch(host) is None:
        raise RefusedError(
            f"{host!r} is no host such as skm.example: give its name alone"
        )
    if len(host) > LONGEST_HOST:
        raise RefusedError(
            f"the host {host} has {len(host)} characters, and a label holds "
            f"{LONGEST_HOST}: take a shorter one"
        )
    if settings.place != settings.place.strip() or not settings.place.isprintable():
        raise RefusedError(f"the place {settings.place!r} is not one plain line")
    if settings.emblem and not EMBLEM.fullmatch(settings.emblem):
        raise RefusedError(
            f"{shown(settings.emblem)} is no name of a PNG or SVG in the shop's "
            f'folder: put it there, and write such as emblem = "emblem.svg"'
        )
    if settings.country:
        _require_country(settings.country)
    if settings.first_serial:
        read_serial(settings.first_serial, settings.pattern)


def _require_letterhead(lines: tuple[str, ...]) -> None:
    """Refuse what has no room under a name."""
    if len(lines) > LETTERHEAD_LINES:
        raise RefusedError(
            f"the letterhead of {FILE} has {len(lines)} lines, and "
            f"{LETTERHEAD_LINES} are the most: leave some out"
        )
    for line in lines:
        if len(line) > LETTERHEAD_LINE or not line.isprintable():
            raise RefusedError(
                f"a line of the letterhead of {FILE} has {len(line)} characters, and "
                f"{LETTERHEAD_LINE} that can be printed are the most: shorten "
                f"{shown(line)}"
            )


def _require_country(code: str) -> None:
    """Refuse what is no country by its two letters, and say which it wants."""
    if code in places():
        return
    meant = place_for(code)
    if meant == UNION:
        raise RefusedError(
            f"{shown(code)} is the Union and no country: write that of the member "
            f"State the shop is in, such as FR for France"
        )
    how = f"write {meant}" if meant in places() else "write such as CA for Canada"
    raise RefusedError(f"{shown(code)} is no country in two capital letters: {how}")
