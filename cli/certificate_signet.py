"""flitchbook certificate signet, and what --sign-pdf does to a certificate's PDF."""

from pathlib import Path
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, opens

SignOption = Annotated[
    bool,
    typer.Option(
        "--sign-pdf",
        help="Sign the PDF itself too (PAdES), so that a viewer tells whether it was "
        "changed. It says 'issuer unknown' until its user gives it the signet of the "
        "card key that signed (flitchbook certificate signet); both certificates "
        "are inside the PDF too. Needs the extra pdf-signature.",
    ),
]
OutOption = Annotated[Path, typer.Option(help="Where the certificates go: a PEM file.")]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the certificate."""
    opens(app)(signet)


def signet(desk: Desk, out: OutOption) -> None:
    """Write your card key's signet, for a PDF viewer.

    By it a viewer tells whose signature is in a PDF.

    Two X.509 certificates, the signet's and that of the card key, which vouches for
    it. Each lead's card key has a signet of its own, and so has a new one: each lead
    writes theirs, before the key ends. Hand the file to whoever opens signed
    certificates, yourself.
    """
    from ledger.acts.signets import shop_signet

    show.require_new(out)
    made = shop_signet(desk.shop, desk.card_key())
    with show.new_file(out, made.pem):
        pass
    lines = [
        f"{out}: the signet of your card key is {_shown(made.fingerprint)}",
        "Give it to whoever asks, yourself, or read them the fingerprint.",
        "Another lead's card key, or a new one, has a signet of its own: write it too.",
    ]
    show.answer(desk, lines, file=str(out), signet_sha256=made.fingerprint)


def require(sign_pdf: bool) -> None:
    """Refuse to sign a PDF where the library is missing, before anything is done."""
    if sign_pdf:
        from labels import signature

        signature.require_library()


def signed(desk: Desk, pdf: bytes, card: Any) -> tuple[bytes, str]:
    """Return a finished PDF signed with a card key's signet, and its fingerprint."""
    from labels import signature
    from ledger.acts.signets import shop_signet

    made = shop_signet(desk.shop, card)
    data = signature.sign(
        pdf,
        key=made.key,
        certificates=(made.certificate, made.voucher),
        at=desk.shop.now(),
    )
    return data, made.fingerprint


def signed_words(fingerprint: str) -> str:
    """Say with what a PDF was signed, to be compared with what a viewer shows."""
    shown = _shown(fingerprint)
    return f"The PDF is signed; the signet of the card key that signed is {shown}"


def _shown(fingerprint: str) -> str:
    """Return a signet's fingerprint as viewers show it, in pairs of digits."""
    pairs = [fingerprint[n : n + 2].upper() for n in range(0, len(fingerprint), 2)]
    return f"SHA-256 {':'.join(pairs)}"
