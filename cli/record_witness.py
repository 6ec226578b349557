"""flitchbook record witness: others who sign the head, and what each of them signed."""

from pathlib import Path
from typing import Annotated, Any

import typer

from cli import context, show
from cli.context import Desk, opens, reads

app = typer.Typer(
    name="witness",
    help="Others who sign the head, and what they signed.",
    no_args_is_help=True,
)
NameArgument = Annotated[
    str, typer.Argument(help="What the shop calls the witness, such as harbour-notary.")
]
KeyArgument = Annotated[
    str, typer.Argument(help="The witness's verifier key, as new-key tells it.")
]
GivenOption = Annotated[
    Path, typer.Option("--out", help="Where to write it, a new file.")
]
SinceOption = Annotated[
    int | None,
    typer.Option("--from", min=0, help="The size that the witness says it has."),
]
ReplyArgument = Annotated[
    Path, typer.Argument(help="What the witness replied: lines, or a whole note.")
]
RequestArgument = Annotated[Path, typer.Argument(help="What the shop gave.")]
KeyOption = Annotated[Path, typer.Option("--key", help="The witness's own key file.")]
MemoryOption = Annotated[
    Path, typer.Option("--memory", help="The folder where the witness remembers logs.")
]
LogOption = Annotated[
    str | None,
    typer.Option("--log", help="The log's verifier key, needed the first time."),
]
KeysOption = Annotated[
    Path | None,
    typer.Option(
        "--keys",
        help="The shop's keys file, from its own hand, once its log has a new key.",
    ),
]
HolderOption = Annotated[
    str,
    typer.Option("--name", help="The witness's own name, one word, best a domain."),
]
PinOption = Annotated[
    bool, typer.Option("--pin", help="Ask for a PIN under which the key rests.")
]
PIN_LABEL = "witness"
LARGEST_KEY = 8_192


@reads(app)
def add(desk: Desk, name: NameArgument, vkey: KeyArgument) -> None:
    """Let the shop know a witness, by the key that it signs with."""
    from ledger.acts import witnesses
    from ledger.acts.outside import log_keys
    from ledger.log.cosignature import WitnessKey

    shop = desk.shop
    witness = witnesses.add(shop.folder, name, WitnessKey.parse(vkey.strip()))
    log = str(log_keys(shop.store)[0])
    lines = [
        f"{name} is known here as a witness, {witness.key.name}.",
        f"Tell it this log's key, from person to person: {log}",
    ]
    show.answer(desk, lines, name=name, vkey=str(witness.key), log=log)


@reads(app, "list")
def list_(desk: Desk) -> None:
    """Show the witnesses, and what each of them signed last.

    They are those that the shop knows.
    """
    from ledger.acts import witnesses

    shop = desk.shop_of_any_edition
    size = shop.store.head().size
    rows = [
        _row(each, witnesses.newest_cosigned(shop.folder, each), size, context.now())
        for each in witnesses.known(shop.folder)
    ]
    lines = [row.pop("words") for row in rows] or [
        "No witness is known here: flitchbook record witness add NAME KEY adds one."
    ]
    show.answer(desk, lines, witnesses=rows, size=size)


@reads(app)
def give(
    desk: Desk, name: NameArgument, out: GivenOption, since: SinceOption = None
) -> None:
    """Sign the head and write what a witness needs to sign it too."""
    from ledger.acts import witnesses

    show.require_new(out)
    shop = desk.shop
    request = witnesses.give(shop, witnesses.named(shop.folder, name), since)
    with show.new_file(out, request.text.encode("utf-8")):
        pass
    size = request.head.size
    lines = [
        f"{out}: from {request.old} to {size} entries. Give it to {name}, and bring "
        f"the reply back with flitchbook record witness take."
    ]
    show.answer(desk, lines, file=str(out), old=request.old, size=size)


@reads(app)
def take(desk: Desk, name: NameArgument, reply: ReplyArgument) -> None:
    """Keep what a witness signed.

    From then on that head is outside this machine.
    """
    from ledger.acts import witnesses
    from ledger.errors import TamperError
    from ledger.log.cosignature import LARGEST_REQUEST

    shop = desk.shop
    try:
        text = show.read_file(reply, most=LARGEST_REQUEST).decode("utf-8")
    except UnicodeDecodeError:
        raise TamperError(f"{reply} is no text") from None
    witness = witnesses.named(shop.folder, name)
    taken = witnesses.take(shop, witness, text)
    lines = [f"{name} signed the head of {taken.head.size} entries on {taken.day}."]
    show.answer(
        desk,
        lines,
        name=name,
        size=taken.head.size,
        root=taken.head.root.hex(),
        at=f"{taken.at:%Y-%m-%dT%H:%M:%SZ}",
    )


@opens(app)
def new_key(
    desk: Desk, name: HolderOption, out: GivenOption, pin: PinOption = False
) -> None:
    """Make the key of a witness, who needs no shop.

    The key that others check is told.
    """
    import secrets

    from ledger.acts.witnessing import new_key_file
    from ledger.log import keyfile

    secret = (
        desk.secret(PIN_LABEL, f"new PIN for {out.name}", is_new=True) if pin else None
    )
    data, key = new_key_file(name, secret, secrets.token_bytes)
    keyfile.write(out, data)
    rests = (
        "under its PIN" if pin else "WITHOUT A PIN: whoever reads it can sign with it"
    )
    lines = [
        f"{out}: the key of the witness {name}, {rests}.",
        f"Give the shop this key to check it by: {key}",
    ]
    show.answer(desk, lines, file=str(out), name=name, vkey=str(key))


@opens(app)
def sign(
    desk: Desk,
    file: RequestArgument,
    key: KeyOption,
    memory: MemoryOption,
    out: GivenOption,
    log: LogOption = None,
    keys: KeysOption = None,
) -> None:
    """Sign a log's head as its witness, if it goes on.

    It must go on from the last one that was signed.
    """
    from ledger.acts import witnessing
    from ledger.log.checkpoint import NoteKey
    from ledger.log.cosignature import LARGEST_REQUEST
    from ledger.log.keysfile import LARGEST_KEYS_FILE

    show.require_new(out)
    given = None if keys is None else show.read_file(keys, most=LARGEST_KEYS_FILE)
    signed = witnessing.witness(
        memory,
        show.read_file(file, most=LARGEST_REQUEST),
        holder=_holder(desk, key),
        log=None if log is None else NoteKey.parse(log.strip()),
        now=context.now(),
        keys=given,
    )
    with show.new_file(out, signed.line.encode("utf-8")):
        pass
    lines = [
        f"{out}: signed for {signed.size} entries of {signed.origin}, which go on from "
        f"the {signed.before} known before. Give it back to the shop."
    ]
    show.answer(
        desk,
        lines,
        file=str(out),
        origin=signed.origin,
        before=signed.before,
        size=signed.size,
    )


def _holder(desk: Desk, key: Path) -> Any:
    """Open a witness's own key file, with its PIN where it lies under one."""
    from ledger.acts import witnessing
    from ledger.errors import TamperError

    own, prompt = show.read_file(key, most=LARGEST_KEY), f"PIN of {key.name}"
    try:
        needs_pin = witnessing.needs_pin(own)
        pin = desk.secret(PIN_LABEL, prompt) if needs_pin else None
        return witnessing.open_key(own, pin)
    except TamperError as fault:
        raise TamperError(
            f"{key} is no key file of a witness ({fault}): name the one that "
            f"flitchbook record witness new-key made"
        ) from None


def _row(witness: Any, signed: Any, size: int, at: Any) -> dict[str, Any]:
    """Return what a witness signed last, as data and in words."""
    if signed is None:
        words = f"{witness.name}  {witness.key.name}  has signed nothing yet"
        newest = None
    else:
        days = max((at - signed.at).days, 0)
        since = show.counted(days, "day")
        words = (
            f"{witness.name}  {witness.key.name}  {signed.head.size:,} entries of "
            f"{size:,}, on {signed.day}, {since} ago"
        )
        newest = {"size": signed.head.size, "day": signed.day, "days_ago": days}
    return {
        "words": words,
        "name": witness.name,
        "vkey": str(witness.key),
        "newest": newest,
    }
