"""What is said of the shop itself: its founding, its roots, the key of its log."""

from typing import ClassVar

from ledger.events.form import Numbers, said


@said
class ShownKey:
    """A public key with a signature that shows its holder has the other half."""

    public: str
    possession: str


@said
class ShopFounded:
    """A shop began its log."""

    kind: ClassVar[str] = "shop.founded/1"

    name: str
    origin: str
    unicode: str
    roots: tuple[ShownKey, ...]
    threshold: int
    log: ShownKey


@said
class Head:
    """The head of a log: of which, how many entries, and the root of their tree."""

    origin: str
    size: int
    root: str


@said
class ShopContinued:
    """The newest entries are lost, and the log goes on in a next volume.

    `closed` is the head that is left, `proven` the highest that a paper or a witness
    proves; words that were typed give ten bytes of its root.
    """

    kind: ClassVar[str] = "shop.continued/1"

    origin: str
    number: int
    log: ShownKey
    closed: Head
    proven: Head


@said
class RootChanged:
    """The shop's root keys, or how many of them decide, were changed."""

    kind: ClassVar[str] = "root.changed/1"

    version: int
    roots: tuple[ShownKey, ...]
    threshold: int


@said
class NumberReserved:
    """Numbers were issued in entries that are lost, and are never given again."""

    kind: ClassVar[str] = "number.reserved/1"

    numbers: Numbers


@said
class LogKeyReplaced:
    """The heads of the log are signed with a new key, from this entry's own head on."""

    kind: ClassVar[str] = "log.key-replaced/1"

    public: str
    possession: str
