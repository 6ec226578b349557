"""Opening a shop: its folder, its roots, its log, and the first lead."""

import shutil
import unicodedata
from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ledger.acts.keyring import new_key, seal_key, shown_key
from ledger.acts.layout import ATTACHMENTS, KEYS, VAULT
from ledger.acts.names import checked_name
from ledger.acts.people import enrol_in, require_badge
from ledger.acts.settings import Settings, require_sound, write_settings
from ledger.acts.shop import Clock, Entropy, Hands, Shop, Turn, open_shop
from ledger.acts.signing import LOG_KEY
from ledger.craft.policy import first_house_policy, house_policy
from ledger.craft.signing import first_policy
from ledger.errors import RefusedError
from ledger.events import (
    KeyEnrolled,
    PolicyAdopted,
    RoleGranted,
    RootChanged,
    ShopFounded,
)
from ledger.log import keyfile
from ledger.log.entry import Entry
from ledger.log.governing import founding_origin
from ledger.log.keys import SecretKey
from ledger.log.standing import ROLES
from ledger.log.store import Store
from ledger.log.vault import Vault, person_sealing_key
from ledger.views.fold import make


@dataclass(frozen=True, slots=True, kw_only=True)
class RootStick:
    """A root key to be made: where its file goes, and under which pass-phrase."""

    path: Path
    pass_phrase: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstLead:
    """The person who opens the shop and leads it."""

    name: str
    badge: str
    pin: str


def found_shop(
    folder: Path,
    *,
    name: str,
    lead: FirstLead,
    sticks: Sequence[RootStick],
    threshold: int,
    settings: Settings,
    now: Clock,
    entropy: Entropy,
    stretching: keyfile.Stretching | None = None,
    unicode: str = unicodedata.unidata_version,
    house: dict[str, Any] | None = None,
) -> Shop:
    """Open a new shop and return it.

    One root is enough for a person alone; two of three is advised. The first lead is
    key administrator too, until somebody else is. The first signing policy is adopted,
    and the first limits of the house, or those given. Raises RefusedError where the
    folder is not empty or the threshold does not fit.
    """
    limits = first_house_policy() if house is None else house
    house_policy(limits)
    # Before anything is made: on a database server tables would be left behind.
    paths = [stick.path for stick in sticks]
    require_may_open(folder, (name, lead.name), lead.badge, paths, threshold, settings)
    if not lead.pin:
        raise RefusedError("an empty PIN protects nothing: choose one")
    with ExitStack() as undo:
        undo.callback(shutil.rmtree, folder, ignore_errors=True)
        roots = [_make_root(stick, entropy, stretching, undo) for stick in sticks]
        log = new_key(entropy)
        _make_folder(folder, settings, log)
        shop = open_shop(folder, now=now, entropy=entropy)
        undo.callback(shop.close)
        with shop.turn() as turn:
            _found(turn, name, roots, log, threshold, unicode)
            _appoint_first(turn, lead, roots, limits, stretching)
        undo.pop_all()
    return shop


def require_may_open(
    folder: Path,
    names: Sequence[str],
    badge: str,
    sticks: Sequence[Path],
    threshold: int,
    settings: Settings,
) -> None:
    """Refuse what no shop is opened with, before anybody types a pass-phrase.

    names   of the shop and of its first lead
    sticks  where the root keys go
    """
    _require_new(folder, sticks, threshold)
    require_sound(settings)
    for name in names:
        checked_name(name)
    require_badge(badge)


def change_roots(
    shop: Shop,
    *,
    kept: Sequence[SecretKey],
    new: Sequence[RootStick],
    threshold: int,
    hands: Hands,
    stretching: keyfile.Stretching | None = None,
) -> Entry:
    """Let other root keys decide from now on, or another number of them.

    The sticks that are `kept` and those that `hands` approve with reach the threshold
    of today; whoever is neither kept nor new is a root no more. New sticks are made as
    at the founding, and go again where the change is refused.
    """
    _require_sticks(shop.folder, [stick.path for stick in new])
    with ExitStack() as undo:
        roots = [_make_root(stick, shop.entropy, stretching, undo) for stick in new]
        with shop.turn() as turn:
            live = turn.standing.live_keys("root", turn.size)
            stranger = next((key.id for key in kept if key.id not in live), None)
            if stranger is not None:
                raise RefusedError(f"key {stranger} is no root of this shop to be kept")
            origin = turn.standing.origin
            event = RootChanged(
                version=turn.standing.root_version + 1,
                roots=tuple(
                    shown_key(root, origin=origin, purpose="root")
                    for root in (*kept, *roots)
                ),
                threshold=threshold,
            )
            yes = (*hands.approving, *kept, *roots)
            entry = turn.say(event, Hands(by=hands.by, approving=yes))
        undo.pop_all()
    return entry


def _require_new(folder: Path, sticks: Sequence[Path], threshold: int) -> None:
    if folder.exists() and not folder.is_dir():
        raise RefusedError(f"{folder} is a file: name a new folder with --shop")
    if folder.exists() and any(folder.iterdir()):
        raise RefusedError(f"{folder} is not empty: name a new folder with --shop")
    if not 1 <= threshold <= len(sticks):
        keys = "1 root key" if len(sticks) == 1 else f"{len(sticks)} root keys"
        raise RefusedError(
            f"a threshold of {threshold} does not fit {keys}: name more keys with "
            f"--new-root, or a threshold from 1 to {len(sticks)}"
        )
    _require_sticks(folder, sticks)


def _require_sticks(folder: Path, sticks: Sequence[Path]) -> None:
    """Refuse a stick that is in use, or that lies in the shop's own folder."""
    for stick in sticks:
        if stick.exists():
            raise RefusedError(f"{stick} is there already: name another file")
        if folder.resolve() in stick.resolve().parents:
            raise RefusedError(
                f"{stick} lies in the shop's folder: a root key belongs on a "
                f"stick that is kept elsewhere"
            )


def _make_root(
    stick: RootStick,
    entropy: Entropy,
    stretching: keyfile.Stretching | None,
    undo: ExitStack,
) -> SecretKey:
    root = new_key(entropy)
    sealed = keyfile.sealed(
        root,
        purpose="root",
        pin=stick.pass_phrase,
        entropy=entropy,
        stretching=stretching,
    )
    keyfile.write(stick.path, sealed)
    undo.callback(stick.path.unlink, missing_ok=True)
    return root


def _make_folder(folder: Path, settings: Settings, log: SecretKey) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    keyfile.write(folder / KEYS / LOG_KEY, keyfile.unsealed(log, purpose="log"))
    (folder / ATTACHMENTS).mkdir()
    store = Store.create(settings.url(folder))
    make(store.engine)
    store.close()
    Vault.create(folder / VAULT).close()
    write_settings(folder, settings)


def _found(
    turn: Turn,
    name: str,
    roots: list[SecretKey],
    log: SecretKey,
    threshold: int,
    unicode: str,
) -> None:
    origin = founding_origin([root.public for root in roots])
    event = ShopFounded(
        name=name,
        origin=origin,
        unicode=unicode,
        roots=tuple(shown_key(r, origin=origin, purpose="root") for r in roots),
        threshold=threshold,
        log=shown_key(log, origin=origin, purpose="log"),
    )
    turn.say(event, Hands(by=roots[0], approving=tuple(roots)))


def _appoint_first(
    turn: Turn,
    lead: FirstLead,
    roots: list[SecretKey],
    house: dict[str, Any],
    stretching: keyfile.Stretching | None,
) -> None:
    shop = turn.shop
    by_roots = Hands(by=roots[0], approving=tuple(roots))
    key, card = new_key(shop.entropy), new_key(shop.entropy)
    shop.vault.make_office(shop.entropy, person_sealing_key(key.seed).public_key())
    subject = enrol_in(turn, lead.name, lead.badge, key, by_roots)
    for role in ROLES:
        turn.say(RoleGranted(subject=subject, role=role), by_roots)
    shown = shown_key(card, origin=turn.standing.origin, purpose="card")
    enrolled = KeyEnrolled(
        purpose="card", public=shown.public, possession=shown.possession
    )
    turn.say(enrolled, by_roots)
    for policy in (first_policy(), house):
        turn.say(PolicyAdopted(policy=policy), Hands(by=key))
    for secret, purpose in ((key, "person"), (card, "card")):
        seal_key(
            shop,
            secret,
            purpose=purpose,
            pin=lead.pin,
            holder=key,
            stretching=stretching,
        )
