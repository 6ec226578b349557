"""What is said of the shop itself: its founding, and the change of its roots."""

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
