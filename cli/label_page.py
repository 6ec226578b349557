"""flitchbook label page: the page that checks, with the shop's keys file inside."""

from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, reads

OutOption = Annotated[
    Path | None, typer.Option(help="Where the page goes: verify.html.")
]
SiteOption = Annotated[
    Path | None,
    typer.Option(
        help="The folder of your site, where labels point: the page goes into v "
        "there, and keeps itself for whoever opened it once."
    ),
]
BareOption = Annotated[
    bool, typer.Option("--bare", help="Of no shop: whoever opens it adds a keys file.")
]
# What a page may weigh, so that it goes into any letter.
LARGEST_PAGE = 700_000
# All that ever lies in the folder to which cards point.
SITE_FILES = frozenset({"index.html", "keys.json", "status.json"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """What a shop puts in its page, and the same in words and for a program."""

    name: str
    keys: bytes
    status: bytes
    host: str
    words: str
    told: dict[str, Any] = field(default_factory=dict)

    @property
    def inside(self) -> dict[str, Any]:
        """The same, as the page takes it."""
        return {
            "name": self.name,
            "keys": self.keys,
            "status": self.status,
            "host": self.host,
        }


def page(
    desk: Desk,
    out: OutOption = None,
    site: SiteOption = None,
    bare: BareOption = False,
) -> None:
    """Make the page that checks papers with no network.

    The shop's keys file is put in it.
    """
    if (out is None) == (site is None) or (site and bare):
        raise typer.BadParameter("say where it goes: --out verify.html, or --site DIR")
    if site is not None:
        _to_site(desk, site)
        return
    assert out is not None  # noqa: S101 - one of the two was given
    show.require_new(out)
    made, words, told = _of_nobody() if bare else of_shop(desk.shop)
    with show.new_file(out, made):
        pass
    _weigh(made)
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

    parts = _parts(shop)
    return verify.page(**parts.inside), parts.words, parts.told


def _parts(shop: Any) -> Parts:
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
    status, listed, told = _newest_status(shop, data)
    words = f"keys file {keys.number} of {keys.date} for {keys.size} entries"
    return Parts(
        name=standing.name,
        keys=data,
        status=status,
        host=shop.settings.label_host,
        words=words + listed,
        told={"keys": str(path), "number": keys.number, "size": keys.size} | told,
    )


def _newest_status(shop: Any, keys: bytes) -> tuple[bytes, str, dict[str, Any]]:
    """Return the newest status list, if there is one that strangers will believe."""
    from ledger.acts.statuslists import newest_list
    from ledger.check.status import judged_list
    from ledger.errors import RefusedError

    path = newest_list(shop)
    if path is None:
        return b"", "", {}
    data = show.read_file(path)
    found = judged_list(data, keys)
    if isinstance(found, str):
        raise RefusedError(
            f"{path}: {found}; issue another with flitchbook certificate status, after "
            f"flitchbook shop keys where its card key is newer than the keys file"
        )
    if found.next < shop.today():
        show.notice(
            f"{path} was to be replaced on {found.next}: issue another with flitchbook "
            f"certificate status, and make the page again"
        )
    words = f" and status list {found.number} of {found.issued}"
    return data, words, {"status": str(path), "status_number": found.number}


def _to_site(desk: Desk, folder: Path) -> None:
    """Write the files of a site, over those of an older page and over nothing else."""
    from labels import verify
    from ledger.acts.folders import require_apart
    from ledger.log.strokes import drop_unfinished

    require_apart(folder, desk.folder)
    parts, place = _parts(desk.shop), folder / verify.PLACE
    files = verify.site(**parts.inside)
    _require_own(folder, place, folder / verify.KEEP, files[verify.KEEP])
    place.mkdir(exist_ok=True)
    drop_unfinished(place)
    for name, data in files.items():
        _replace(folder / name, data)
    for name in SITE_FILES:
        if f"{verify.PLACE}/{name}" not in files:
            (place / name).unlink(missing_ok=True)
    made = files[f"{verify.PLACE}/index.html"]
    _weigh(made)
    lines = [
        f"{place}: the page that checks, with {parts.words} inside.",
        f"{folder / verify.KEEP}: what keeps it for when there is no network.",
        "Let your host give out both; make them again after each keys file.",
    ]
    told = {"folder": str(folder), "bytes": len(made), "files": sorted(files)}
    show.answer(desk, lines, **told, **parts.told)


def _require_own(folder: Path, place: Path, keep: Path, kept: bytes) -> None:
    """Refuse to write over what is another's; `kept` is the worker's file of today."""
    from ledger.errors import NotFoundError, RefusedError
    from ledger.log.strokes import UNFINISHED

    if not folder.is_dir():
        raise NotFoundError(f"there is no folder {folder}: make it, or name another")
    first_line = kept.partition(b"\n")[0]
    if keep.exists() and not keep.read_bytes().startswith(first_line):
        raise RefusedError(
            f"{keep} is no file of this page: name another folder with --site"
        )
    if place.exists() and not place.is_dir():
        raise RefusedError(f"{place} is a file: name another folder with --site")
    there = {path.name for path in place.glob("*")} if place.exists() else set()
    other = sorted(
        name
        for name in there - SITE_FILES
        # What a power cut left of one of ours goes with the next run.
        if not (name.endswith(UNFINISHED) and name.rsplit(".", 2)[0] in SITE_FILES)
    )
    if other:
        raise RefusedError(
            f"{place} holds {other[0]}, which is no file of this page: name another "
            f"folder with --site"
        )


def _replace(path: Path, data: bytes) -> None:
    """Write a file whole or not at all: a visitor may be reading the old one."""
    from ledger.errors import RefusedError
    from ledger.log.strokes import write_over

    try:
        write_over(path, data, is_public=True)
    except OSError as problem:
        raise RefusedError(
            f"{path} cannot be written ({problem.strerror}): name another folder with "
            f"--site"
        ) from None


def _weigh(made: bytes) -> None:
    if len(made) > LARGEST_PAGE:
        show.notice(f"the page has {len(made)} bytes, and {LARGEST_PAGE} are meant")


def _of_nobody() -> tuple[bytes, str, dict[str, Any]]:
    from labels import verify

    return verify.page(), "no shop's keys", {}
