"""A next volume, as a workshop's log says it."""

from tests.ledger.log.workshop import Event, Workshop, shown

ROOT = "5a" * 32


def head(origin: str, size: int, root: str = ROOT) -> Event:
    """Say the head of a log."""
    return {"origin": origin, "root": root, "size": size}


def continued(shop: Workshop, log: str, lost: int = 9, **otherwise: object) -> Event:
    """Say that a log goes on behind what is left of it, with a key of this name."""
    standing, size = shop.standing, len(shop.records)
    origin = f"{standing.first_origin}/v{standing.volume + 1}"
    return {
        "closed": head(standing.origin, size),
        "kind": "shop.continued/1",
        "log": shown(log, "log", origin),
        "origin": origin,
        "proven": head(standing.origin, size + lost),
        "number": standing.volume + 1,
    } | otherwise
