"""Governing events in which nothing is wrong, each at the edge of what would be."""

from collections.abc import Callable

from tests.ledger.log.volumes import continued
from tests.ledger.log.workshop import (
    Event,
    Workshop,
    adopted,
    affirmed,
    enrolled,
    erased,
    key_enrolled,
    log_key_replaced,
    plain,
    qualified,
    replaced,
    reported,
    retired,
    role,
    roots_changed,
    rule,
    secret,
    staffed,
)

BOTH = ("root-1", "root-2")
RECEIVERS = rule(["lot.*"], [{"role": "lead"}])
SEASONING = {"format": "flitchbook-seasoning/1"}


def worn_shop() -> Workshop:
    """Return a shop in which people left, keys were robbed, and a root was replaced."""
    shop = staffed()
    for purpose in ("card", "pdf"):
        shop.says(key_enrolled(purpose, purpose), by="lead", yes=BOTH)
    shop.says(adopted(RECEIVERS), by="lead")
    shop.says(retired("helper"), by="helper")
    shop.says(retired("second"), by="second")
    shop.says(roots_changed(BOTH, 2, 2), by="lead", yes=BOTH)
    shop.says(reported("builder", 9), by="office", yes=("lead",))
    shop.says(reported("root-3", 0), by="lead", yes=BOTH)
    return shop


def since(shop: Workshop, name: str) -> int:
    """Return from which entry on a key counts."""
    return shop.standing.keys[secret(name).id].from_index


def until(shop: Workshop, name: str) -> int:
    """Return the last entry for which a key counts."""
    return shop.standing.keys[secret(name).id].until_index or 0


SOUND: dict[str, Callable[[Workshop], Event]] = {
    "a role for somebody who has another": lambda _: role("office", "lead"),
    "a role of somebody who left": lambda _: role("second", "lead", "withdrawn"),
    "a newcomer": lambda _: enrolled("newcomer"),
    "a new key for who was robbed": lambda _: replaced("builder", "builder-new"),
    "a name of who left": lambda _: erased("helper"),
    "another card key": lambda _: key_enrolled("new", "card"),
    "another key for papers": lambda _: key_enrolled("new", "pdf"),
    "the card key goes": lambda _: retired("card"),
    "the key for papers goes": lambda _: retired("pdf"),
    "a person's key goes": lambda _: retired("office"),
    "since the key counted": lambda shop: reported("office", since(shop, "office")),
    "since now": lambda shop: reported("office", len(shop.records)),
    "since the key's last word": lambda shop: reported("helper", until(shop, "helper")),
    "earlier than was reported": lambda _: reported("builder", 8),
    "the card key was robbed": lambda shop: reported("card", len(shop.records)),
    "the newest in dispute": lambda shop: affirmed("builder", until(shop, "builder")),
    "the first entry of all": lambda _: affirmed("root-3", 0),
    "the log's next key": lambda _: log_key_replaced("log-2"),
    "the same policy again": lambda _: adopted(RECEIVERS),
    "a policy of other things": lambda _: plain("policy.adopted/1", policy=SEASONING),
    "one root is enough": lambda _: roots_changed(BOTH, 1, 3),
    "all roots are needed": lambda _: roots_changed((*BOTH, "root-4"), 3, 3),
    "the next volume": lambda shop: continued(shop, "log-2"),
    "a qualification": lambda _: qualified("office"),
    "what somebody had who left": lambda _: qualified("helper", verb="withdrawn"),
}
