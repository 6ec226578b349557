"""What a buyer has in hand, true or forged, for tests of the stranger's check."""

import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from ledger.acts import certificates, copies, heads
from ledger.check import MARKER
from ledger.events import CertificateIssued, codec
from ledger.log.encoding import canonical, parse_object
from ledger.log.keys import SecretKey, signature_text
from ledger.log.keysfile import write_keys_file
from ledger.log.proof import CertificateFile, parse_certificate_file
from tests.ledger.audit.tampering import appended
from tests.ledger.log.workshop import VECTORS
from tests.skerrymoor import Loft

NUMBER = "C-2026-00001"
# What somebody may put where something else belongs.
ODD: tuple[Any, ...] = (
    None,
    True,
    -1,
    2**53 - 1,
    "",
    "x",
    "\u00e9",
    [],
    [[]],
    {},
    [{}],
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sold:
    """What a buyer has in hand, the shop's keys file, and the roots that signed it."""

    file: CertificateFile
    keys: bytes
    roots: tuple[SecretKey, ...]

    @property
    def data(self) -> bytes:
        """The certificate file."""
        return self.file.data

    @property
    def event(self) -> CertificateIssued:
        """The facts of the record."""
        event = codec.parse(self.file.record.entry.event)
        assert isinstance(event, CertificateIssued)
        return event

    def changed_keys(self, **changes: Any) -> bytes:
        """Return the keys file with other members, signed by the roots again."""
        rest = parse_object(self.keys) | changes
        rest.pop("signatures")
        signed = canonical(rest)
        said = [
            {"key": root.id, "signature": signature_text(root.sign(signed))}
            for root in sorted(self.roots, key=lambda root: root.id)
        ]
        return canonical(rest | {"signatures": said})

    def key_rows(self, **changes: Any) -> list[dict[str, Any]]:
        """Return the keys of the keys file, the signer's with other members."""
        rows: list[dict[str, Any]] = parse_object(self.keys)["keys"]
        signer = self.file.record.entry.key
        return [row | changes if row["key"] == signer else row for row in rows]


def sold_by(loft: Loft, number: str = NUMBER) -> Sold:
    """Return a certificate's file and a keys file that is newer than it."""
    file = certificates.certificate_paper(loft.shop, number).file
    keys = copies.publish_keys(loft.shop, loft.roots[:2]).read_bytes()
    return Sold(file=file, keys=keys, roots=loft.roots[:2])


def pdf_around(data: bytes, words: str = "26-0001-8") -> bytes:
    """Return a page with these words and the file behind its marker."""
    page = (
        f"%PDF-1.7\n1 0 obj\n<</Length 9>>\nstream\n({words}) Tj\nendstream\nendobj\n"
    )
    attached = (
        b"2 0 obj\n<</Type/EmbeddedFile" + MARKER + b" true/Length %d" % len(data)
    )
    return page.encode() + attached + b">>\nstream\n" + data + b"\nendstream\nendobj\n"


def certificate_by(loft: Loft, secret: SecretKey) -> Sold:
    """Let a key that may not do so sign a certificate, past every rule."""
    true = certificates.certificate_paper(loft.shop, NUMBER).file
    record = appended(loft, true.record.entry.event, by=secret)
    file = replace(
        true, record=record, proof=heads.prove(loft.shop, record.entry.index)
    )
    # A shop publishes none for such a log: this one was made by hand.
    head = loft.shop.store.head()
    keys = write_keys_file(
        loft.shop.standing(),
        lineage=[loft.shop.store.record(0)],
        number=1,
        date="2026-01-05",
        size=head.size,
        root=head.root,
        roots=loft.roots[:2],
    )
    return Sold(file=file, keys=keys, roots=loft.roots[:2])


def disclosures(sold: Sold) -> Iterator[tuple[str, CertificateFile]]:
    """Yield certificate files whose disclosures are not the record's, by fault."""
    first, second, *rest = sold.file.disclosed
    yield "name", replace(sold.file, disclosed=(replace(first, value="Benji"), second))
    yield "key", replace(sold.file, disclosed=(replace(first, key=b"k" * 32),))
    swapped = replace(first, subject=second.subject, value=second.value)
    yield "subject", replace(sold.file, disclosed=(swapped,))
    yield "twice", replace(sold.file, disclosed=(first, first))
    yield "field", replace(sold.file, disclosed=(replace(first, field="owner.name"),))
    stranger = replace(first, subject="ab" * 16)
    yield "stranger", replace(sold.file, disclosed=(*rest, stranger))
    yield "token", replace(sold.file, status_token=b"\x00" * 16)


def places(value: Any, at: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield where in a value every member and item stands."""
    if at:
        yield at
    if isinstance(value, dict | list):
        names = value if isinstance(value, dict) else range(len(value))
        for name in names:
            yield from places(value[name], (*at, name))


def odd_versions(value: dict[str, Any]) -> Iterator[bytes]:
    """Yield an object with something odd in each place in turn, as bytes."""
    true = canonical(value)
    for at in places(value):
        for odd in ODD:
            copy = json.loads(true)
            target = copy
            for name in at[:-1]:
                target = target[name]
            target[at[-1]] = odd
            if canonical(copy) != true:
                yield canonical(copy)


CARD = (VECTORS / "card.txt").read_bytes()
PINNED = Sold(
    file=parse_certificate_file((VECTORS / "certificate.json").read_bytes()),
    keys=(VECTORS / "keys.json").read_bytes(),
    roots=tuple(
        SecretKey(bytes.fromhex(line.split()[1]))
        for line in (VECTORS / "seeds").read_text().splitlines()
        if line.startswith(("root-1", "root-4"))
    ),
)
