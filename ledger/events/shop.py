"""What is said of the shop itself: its founding, its roots, the key of its log."""

from typing import ClassVar

from ledger.events.form import said


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
class RootChanged:
    """The shop's root keys, or how many of them decide, were changed."""

    kind: ClassVar[str] = "root.changed/1"

    version: int
    roots: tuple[ShownKey, ...]
    threshold: int


@said
class LogKeyReplaced:
    """The heads of the log are signed with a new key, from this entry's own head on."""

    kind: ClassVar[str] = "log.key-replaced/1"

    public: str
    possession: str
