"""The three families' models, ready to use and to change, as texts beside this module.

They are common practice, and where somebody published a number the text says so.
"""

from importlib.resources import files

from ledger.craft.modeltext import FAMILIES, Family
from ledger.errors import NotFoundError


def family_text(family: str) -> bytes:
    """Return the text of a family's model, with its remarks.

    Source: common practice, no source; the texts name what was published.
    """
    return (
        files("ledger.craft")
        .joinpath("models", f"{find_family(family)}.toml")
        .read_bytes()
    )


def find_family(name: str) -> Family:
    """Return the family of a name, however it is hyphenated.

    Source: the shop's own words.
    """
    wanted = name.casefold().replace(" ", "-")
    found = [family for family in FAMILIES if family == wanted]
    if not found:
        raise NotFoundError(
            f"there is no family {name!r}: draft one of {', '.join(FAMILIES)}"
        )
    return found[0]
