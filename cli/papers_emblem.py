"""The shop's emblem, read from its folder; papers are laid out without one it lacks."""

from cli import show
from labels.emblem import LARGEST_FILE, Emblem, read_emblem
from ledger.acts.shop import Shop
from ledger.errors import RefusedError

WITHOUT = "the paper is laid out without it"


def emblem_of(shop: Shop) -> Emblem | None:
    """Return the emblem that shop.toml names, or None; say why where it has no use."""
    name = shop.settings.emblem
    if not name:
        return None
    path = shop.folder / name
    try:
        with path.open("rb") as file:
            return read_emblem(file.read(LARGEST_FILE + 1))
    except OSError:
        show.notice(f"the emblem {path} cannot be opened: {WITHOUT}")
    except RefusedError as fault:
        show.notice(f"{path}: {fault}; {WITHOUT}")
    return None
