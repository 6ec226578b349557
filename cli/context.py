"""Which shop, whose hands, how to show it: what every command is told.

A command is written with a `Desk` as its first parameter. `reads` gives it the options
--shop and --json, `signs` also those that say who signs and who approves. `opens` is
for what enters nothing and still needs somebody's key: it asks who, and their PIN.
"""

import inspect
import os
import secrets
import sys
import unicodedata
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from functools import cached_property, partial, wraps
from getpass import getpass
from pathlib import Path
from typing import Annotated, Any

import typer

from ledger.errors import LedgerError, NotFoundError, RefusedError

ShopOption = Annotated[
    Path | None,
    typer.Option("--shop", envvar="FLITCHBOOK_SHOP", help="The shop's folder."),
]
JsonOption = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]
ByOption = Annotated[
    str,
    typer.Option(
        "--by",
        envvar="FLITCHBOOK_BY",
        help="Who signs: a badge, or a name or part of one.",
    ),
]
ApproveOption = Annotated[
    list[str], typer.Option("--approve", help="Who says yes as well; may be repeated.")
]
RootOption = Annotated[
    list[Path], typer.Option("--root", help="A root key on its stick; may be repeated.")
]
PinFileOption = Annotated[
    Path | None,
    typer.Option(
        "--pin-file",
        envvar="FLITCHBOOK_PIN_FILE",
        help="A file of lines such as '02 4711': a badge or a root key file's name, "
        "and its PIN or pass-phrase.",
    ),
]
PauseOption = Annotated[
    bool, typer.Option("--after-pause", help="The clock is right after a long pause.")
]
HappenedOption = Annotated[
    str | None,
    typer.Option(
        "--happened-at",
        help="When it happened, if it is entered late: 2026-11-24T16:40:00Z, in UTC.",
    ),
]
# No pin file is read beyond so many signs.
LONGEST_PINS = 1_000_000
# Why something is said: either word will do.
WHY = ("--why", "--reason")
READING: dict[str, tuple[Any, Any]] = {
    "shop": (ShopOption, None),
    "json": (JsonOption, False),
}
SIGNING: dict[str, tuple[Any, Any]] = {
    "by": (ByOption, ""),
    "approve": (ApproveOption, ()),
    "root": (RootOption, ()),
    "pin_file": (PinFileOption, None),
    "after_pause": (PauseOption, False),
    "happened_at": (HappenedOption, None),
}
OPENING = {name: SIGNING[name] for name in ("by", "pin_file")}


class Desk:
    """Where somebody stands: a shop, a pair of hands, and a way to be answered."""

    def __init__(self, **told: Any) -> None:
        self.folder: Path = told.get("shop") or default_folder()
        self.json: bool = told["json"]
        self._by: str = told.get("by", "")
        self._approve: tuple[str, ...] = tuple(told.get("approve", ()))
        self._roots: tuple[Path, ...] = tuple(told.get("root", ()))
        self._pins: dict[str, str] = {}
        self._pin_file: Path | None = told.get("pin_file")
        self._after_pause: bool = told.get("after_pause", False)
        self._happened_at: str | None = told.get("happened_at")
        self._signs: bool = "approve" in told
        self._missing = ""

    @property
    def has_signer(self) -> bool:
        """Tell whether somebody was named with --by."""
        return bool(self._by)

    def tried_key(self) -> tuple[str, str]:
        """Return who was named and the PIN, for a key that is only tried."""
        if not self._by:
            return "", ""
        return self._by, self.secret(self._by, f"PIN of {self._by}", is_signer=True)

    def told_pins(self, pin_file: Path | None) -> None:
        """Take a file of PINs, for a command that signs nothing and still asks."""
        self._pin_file = pin_file

    @cached_property
    def shop(self) -> Any:
        """The shop in the folder, open, and shown as this version folds it."""
        return self._open()

    @cached_property
    def shop_of_any_edition(self) -> Any:
        """The shop in the folder, whichever version folded what it shows."""
        return self._open(of_any_edition=True)

    def _open(self, *, of_any_edition: bool = False) -> Any:
        from ledger.acts.shop import open_shop

        shop = open_shop(
            self.folder,
            now=now,
            entropy=secrets.token_bytes,
            pause_confirmed=self._after_pause,
            happened_at=self._happened_at,
            of_any_edition=of_any_edition,
            state=state_folder(),
        )
        self._look_outside(shop)
        return shop

    def _look_outside(self, shop: Any) -> None:
        """Look what is missing: a reader is told at once, a signer if not refused."""
        from ledger.acts import outside

        place = shop.store, shop.folder, shop.state
        tell = partial(typer.echo, err=True)
        gap = outside.look(*place, is_signing=self._signs, tell=tell)
        if gap is None:
            return
        self._missing = f"{gap}; {outside.NEXT}"
        if not self._signs:
            self.tell_missing()

    def tell_missing(self, refused: str = "") -> None:
        """Say once what is missing, unless a refusal has said it."""
        if self._missing and self._missing not in refused:
            typer.echo(f"WARNING: {self._missing}", err=True)
        self._missing = ""

    @cached_property
    def person(self) -> Any:
        """The person who signs."""
        if not self._by:
            raise RefusedError("say who signs: give --by with a badge or a name")
        return self.find(self._by)

    @cached_property
    def key(self) -> Any:
        """The key of the person who signs, opened with the PIN."""
        return self.key_of(self.person, is_signer=True)

    def own(self, text: str) -> str:
        """Return a code as it was typed or scanned; another shop's label is refused."""
        from ledger.codes import split_scan

        scan, host = split_scan(text), self.shop.settings.label_host
        if scan and scan.host and scan.host != host.partition("/")[0].upper():
            raise RefusedError(
                f"that label is of {scan.host.lower()} and not of this shop: look at "
                f"the wood, and type the code alone if it is yours"
            )
        if scan and scan.mark == "B":
            self._require_true_label(text)
        return text

    def _require_true_label(self, text: str) -> None:
        from ledger.acts.relabelling import require_true_label

        with self.shop.store.reading() as session:
            require_true_label(session, text)

    def serial(self, text: str) -> str:
        """Return a serial as it stands on the instrument, typed or scanned.

        One that was stamped by mistake is refused, and leads to the true one.
        """
        from ledger.acts.voiding import true_serial

        own, pattern = self.own(text), self.shop.settings.pattern
        with self.shop.store.reading() as session:
            return true_serial(session, own, pattern)

    def find(self, name: str) -> Any:
        """Return the person of this badge or name."""
        from ledger.acts.signing import find_person

        return find_person(self.shop, name)

    def key_of(self, person: Any, *, is_signer: bool = False) -> Any:
        """Open a person's key with the PIN."""
        from ledger.acts.signing import person_key

        return person_key(self.shop, person, self.pin_of(person, is_signer=is_signer))

    def card_key(self) -> Any:
        """Open the shop's card key with the signer's PIN."""
        from ledger.acts.signing import card_key

        pin = self.pin_of(self.person, is_signer=True)
        return card_key(self.shop, self.person, pin)

    def pin_of(self, person: Any, *, is_signer: bool = False) -> str:
        """Return a person's PIN from the pin file, the environment or the keyboard."""
        from ledger.acts.signing import person_name

        badge = person.badge
        # One PIN issues, draws and prints: nobody types it three times.
        if badge not in self._pins:
            prompt = f"PIN of {person_name(self.shop, person)}, badge {badge}"
            self._pins[badge] = self.secret(badge, prompt, is_signer=is_signer)
        return self._pins[badge]

    def new_pin(self, badge: str) -> str:
        """Return a new PIN, typed twice where it is typed."""
        return self.secret(badge, f"new PIN for badge {badge}", is_new=True)

    def new_pass_phrase(self, path: Path) -> str:
        """Return the pass-phrase for a new root key, typed twice where it is typed."""
        prompt = f"new pass-phrase for {path.name}"
        return self.secret(path.stem, prompt, is_new=True)

    def root_keys(self) -> list[Any]:
        """Open the root keys that were named with --root."""
        return self.open_roots(self._roots)

    def open_roots(self, paths: Sequence[Path]) -> list[Any]:
        """Open root keys on their sticks, each with its pass-phrase."""
        from ledger.acts.signing import root_key

        for path in paths:
            if not path.is_file():
                raise NotFoundError(f"there is no root key at {path}: is its stick in?")
        return [
            root_key(path, self.secret(path.stem, f"pass-phrase of {path.name}"))
            for path in paths
        ]

    def hands(self) -> Any:
        """Return whose key signs and whose keys approve."""
        from ledger.acts.shop import Hands

        signing = self.key
        approving = [self.key_of(self.find(name)) for name in self._approve]
        return Hands(by=signing, approving=(*approving, *self.root_keys()))

    def secret(
        self, label: str, prompt: str, *, is_signer: bool = False, is_new: bool = False
    ) -> str:
        """Return a PIN or a pass-phrase: from the file, the environment, the keyboard.

        A line of one word in a pin file is the signer's PIN; FLITCHBOOK_PIN too.
        """
        known = self._filed(label)
        if is_signer and not known:
            known = self._filed("") or _composed(os.environ.get("FLITCHBOOK_PIN"))
        if known:
            return known
        if not sys.stdin.isatty():
            raise RefusedError(
                f"there is nobody to ask for the {prompt}: give --pin-file with a line "
                f"'{label} …'"
            )
        typed: str = _composed(getpass(f"{prompt[:1].upper()}{prompt[1:]}: "))
        if is_new and _composed(getpass("The same again: ")) != typed:
            raise RefusedError("the two are not the same: nothing was done")
        return typed

    def _filed(self, label: str) -> str | None:
        """Return what the pin file holds for a label; for none, its one bare word."""
        for line in self._pin_lines:
            rest = line.removeprefix(label)
            if not label and len(line.split()) == 1:
                return line
            if label and rest != line and rest[:1].isspace():
                return rest.strip()
        return None

    @cached_property
    def _pin_lines(self) -> list[str]:
        if self._pin_file is None:
            return []
        try:
            # Some editors put a mark before the first line.
            with self._pin_file.open(encoding="utf-8-sig") as file:
                text = file.read(LONGEST_PINS)
        except (OSError, UnicodeDecodeError):
            raise NotFoundError(
                f"the pin file {self._pin_file} cannot be read: name a text file with "
                f"lines such as '02 4711'"
            ) from None
        lines: list[str] = _composed(text).splitlines()
        return [line.strip() for line in lines if line.strip()]


def reads(app: typer.Typer, name: str = "") -> Callable[[Callable[..., None]], Any]:
    """Make a command that only looks: it is told the shop and how to answer."""
    return _command(app, name, READING)


def opens(app: typer.Typer, name: str = "") -> Callable[[Callable[..., None]], Any]:
    """Make a command that enters nothing with somebody's key: it is told whose."""
    return _command(app, name, OPENING | READING)


def signs(app: typer.Typer, name: str = "") -> Callable[[Callable[..., None]], Any]:
    """Make a command that says something: it is told who signs and approves too."""
    return _command(app, name, SIGNING | READING)


def now() -> datetime:
    """Return the time by this machine's clock."""
    return datetime.now(UTC)


def default_folder() -> Path:
    """Return where a shop lies if nobody says otherwise."""
    from platformdirs import user_data_path

    return user_data_path("flitchbook") / "shop"


def state_folder() -> Path:
    """Return where this account keeps what it saw of logs, outside of any shop."""
    named = os.environ.get("FLITCHBOOK_STATE")
    if named:
        return Path(named)
    from platformdirs import user_state_path

    return user_state_path("flitchbook")


def _composed(value: Any) -> Any:
    """Return a text in Unicode's form NFC, however the keyboard put it together."""
    if isinstance(value, str):
        return unicodedata.normalize("NFC", _whole(value))
    if isinstance(value, list):
        return [_composed(item) for item in value]
    return value


def _whole(text: str) -> str:
    """Return a text as it was typed; bytes that are no text come in as halves."""
    if any("\ud800" <= mark <= "\udfff" for mark in text):
        # It is not quoted: a PIN may be meant.
        raise RefusedError(
            "a word of that is no text in UTF-8: set the terminal to it, and type it "
            "again"
        )
    return text


def _command(
    app: typer.Typer, name: str, options: dict[str, tuple[Any, Any]]
) -> Callable[[Callable[..., None]], Any]:
    def made(work: Callable[..., None]) -> Any:
        @wraps(work)
        def command(**given: Any) -> None:
            told = {option: given.pop(option) for option in options}
            desk = Desk(**told)
            try:
                work(desk, **{name: _composed(v) for name, v in given.items()})
            except LedgerError as refusal:
                desk.tell_missing(str(refusal))
                raise
            finally:
                desk.tell_missing()

        own = list(inspect.signature(work).parameters.values())[1:]
        common = [
            inspect.Parameter(
                option, inspect.Parameter.KEYWORD_ONLY, default=default, annotation=kind
            )
            for option, (kind, default) in options.items()
        ]
        parameters = [p.replace(kind=inspect.Parameter.KEYWORD_ONLY) for p in own]
        command.__dict__["__signature__"] = inspect.Signature([*parameters, *common])
        command.__annotations__ = {p.name: p.annotation for p in [*parameters, *common]}
        app.command(name or work.__name__.replace("_", "-"))(command)
        return work

    return made
