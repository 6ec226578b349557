"""A shop's settings: the few lines of its shop.toml."""

import json
import tomllib
from dataclasses import asdict, dataclass
from pathlib import Path

from ledger.errors import NotFoundError, RefusedError
from ledger.serials import SerialPattern

FILE = "shop.toml"
PAPERS = ("A4", "Letter")


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How a shop writes, prints and stores; nothing in it is evidence of anything."""

    place: str = ""
    paper: str = "A4"
    label_host: str = ""
    serial_pattern: str = "{year}-{number:4}-{check}"
    first_serial: str = ""
    database: str = ""

    @property
    def pattern(self) -> SerialPattern:
        """The pattern of the shop's serials."""
        return SerialPattern.parse(self.serial_pattern)

    def url(self, folder: Path) -> str:
        """Return the address of the shop's database: its own file if none is named."""
        return self.database or f"sqlite:///{folder / 'ledger.sqlite3'}"


def write_settings(folder: Path, settings: Settings) -> None:
    """Write shop.toml; `read_settings` is the inverse."""
    lines = (
        f"{k} = {json.dumps(v, ensure_ascii=False)}"
        for k, v in asdict(settings).items()
    )
    (folder / FILE).write_text("\n".join(lines) + "\n", encoding="utf-8")


def read_settings(folder: Path) -> Settings:
    """Read shop.toml.

    Raises NotFoundError where there is no shop, RefusedError where a line is unknown.
    """
    path = folder / FILE
    try:
        said = tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise NotFoundError(
            f"there is no shop in {folder}: name its folder with --shop, "
            f"or open one with flitchbook shop open"
        ) from None
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as problem:
        raise RefusedError(f"{path} cannot be read: {problem}") from None
    known = Settings()
    for name, value in said.items():
        if not hasattr(known, name) or not isinstance(value, str):
            raise RefusedError(f"{path}: {name} is no setting of a shop")
    settings = Settings(**said)
    if settings.paper not in PAPERS:
        raise RefusedError(f"{path}: paper is {' or '.join(PAPERS)}")
    return settings
