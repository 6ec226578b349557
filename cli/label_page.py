"""flitchbook label page: the page that checks, with the shop's keys file inside."""

from pathlib import Path
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads

OutOption = Annotated[Path, typer.Option(help="Where the page goes: verify.html.")]
BareOption = Annotated[
    bool, typer.Option("--bare", help="Of no shop: whoever opens it adds a keys file.")
]
# What a page may weigh, so that it goes into any letter.
LARGEST_PAGE = 700_000


def page(desk: Desk, out: OutOption, bare: BareOption = False) -> None:
    """Make the page that checks papers with no network, and put the keys file in it."""
    show.require_new(out)
    made, words, told = _of_nobody() if bare else of_shop(desk.shop)
    with show.new_file(out, made):
        pass
    if len(made) > LARGEST_PAGE:
        show.notice(f"the page has {len(made)} bytes, and {LARGEST_PAGE} are meant")
    lines = [
        f"{out}: the page that checks, with {words} inside.",
        "It needs no network: send it with a certificate, or put it on your site.",
    ]
    show.answer(desk, lines, file=str(out), bytes=len(made), **told)


def add_to(app: typer.Typer) -> None:
    """Let the command be typed."""
    reads(app)(page)


def of_shop(shop: Any) -> tuple[bytes, str, dict[str, Any]]:
    """Return the shop's page, what is in it in words, and the same for a program."""
    from labels import verify
    from ledger.acts.copies import newest_keys
    from ledger.errors import NotFoundError, RefusedError, TamperError
    from ledger.log.keysfile import read_keys_file

    path, standing = newest_keys(shop), shop.standing()
    if path is None:
        raise NotFoundError(
            "this shop has published no keys file yet: run flitchbook shop keys, or "
            "make a page without one with --bare"
        )
    data = show.read_file(path)
    try:
        keys = read_keys_file(data)
    except TamperError as fault:
        raise RefusedError(
            f"{path} does not hold ({fault}): publish another with flitchbook shop keys"
        ) from None
    if keys.origin != standing.origin:
        raise RefusedError(
            f"{path} is of the log {keys.origin} and this shop's is {standing.origin}: "
            f"publish another with flitchbook shop keys"
        )
    words = f"keys file {keys.number} of {keys.date} for {keys.size} entries"
    told = {"keys": str(path), "number": keys.number, "size": keys.size}
    return verify.page(name=standing.name, keys=data), words, told


def _of_nobody() -> tuple[bytes, str, dict[str, Any]]:
    from labels import verify

    return verify.page(), "no shop's keys", {}
