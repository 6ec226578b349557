"""flitchbook shop: open one, publish its keys, adopt a policy."""

import secrets
from pathlib import Path
from typing import Annotated, Any, Literal

import typer

from cli import (
    record_outside,
    shop_continue,
    shop_keys,
    shop_policy,
    shop_room,
    show,
)
from cli.context import Desk, now, reads, signs, state_folder
from ledger.languages import Language

app = typer.Typer(
    name="shop",
    help="Open a shop, publish its keys, adopt its rules.",
    no_args_is_help=True,
)
NameArgument = Annotated[str, typer.Argument(help="The shop's name.")]
LeadOption = Annotated[str, typer.Option(help="The name of the lead builder.")]
BadgeOption = Annotated[str, typer.Option(help="The lead's badge.")]
SticksOption = Annotated[
    list[Path],
    typer.Option(
        "--new-root",
        help="Where a root key goes, on a stick outside the shop; three are advised.",
    ),
]
KeepOption = Annotated[
    list[Path], typer.Option(help="A root key of today that stays; may be repeated.")
]
NewSticksOption = Annotated[
    list[Path],
    typer.Option("--new-root", help="Where a new root key goes; may be repeated."),
]
ThresholdOption = Annotated[
    int, typer.Option(help="How many root keys decide; 0: one of one, two of three.")
]
PlaceOption = Annotated[str, typer.Option(help="The place, as papers print it.")]
CountryOption = Annotated[
    str, typer.Option(help="The shop's own country, such as CA: journeys start there.")
]
FirstOption = Annotated[
    str, typer.Option(help="The first serial to give, if others were given before.")
]
HostOption = Annotated[str, typer.Option(help="The host that symbols point to.")]
PaperOption = Annotated[
    Literal["A4", "Letter"], typer.Option(help="The paper that papers are drawn on.")
]
LanguageOption = Annotated[
    Language,
    typer.Option(help="The language of papers for owners."),
]
DatabaseOption = Annotated[
    str, typer.Option(help="A PostgreSQL address; empty: a file in the folder.")
]
TemperatureOption = Annotated[str, typer.Option(help="Such as '20 C' or '68 F'.")]
HumidityOption = Annotated[str, typer.Option(help="Such as '44 %RH'.")]
RoomOption = Annotated[str, typer.Option(help="Which room.")]


@signs(app, "open")
def open_(
    desk: Desk,
    name: NameArgument,
    lead: LeadOption,
    new_root: SticksOption,
    badge: BadgeOption = "01",
    threshold: ThresholdOption = 0,
    place: PlaceOption = "",
    country: CountryOption = "",
    label_host: HostOption = "",
    first_serial: FirstOption = "",
    paper: PaperOption = "A4",
    language: LanguageOption = "en",
    database: DatabaseOption = "",
) -> None:
    """Open a new shop with its root keys and first lead."""
    from ledger.acts import founding
    from ledger.acts.outside import begin_anew
    from ledger.acts.settings import Settings

    settings = Settings(
        place=place,
        country=country,
        paper=paper,
        language=language,
        label_host=label_host,
        first_serial=first_serial,
        database=database,
    )
    names, deciding = (name, lead), threshold or (len(new_root) // 2 + 1)
    founding.require_may_open(desk.folder, names, badge, new_root, deciding, settings)
    sticks = _new_sticks(desk, new_root)
    shop = founding.found_shop(
        desk.folder,
        name=name,
        lead=founding.FirstLead(name=lead, badge=badge, pin=desk.new_pin(badge)),
        sticks=sticks,
        threshold=deciding,
        settings=settings,
        now=now,
        entropy=secrets.token_bytes,
    )
    standing = shop.standing()
    begin_anew(state_folder(), standing.origin)
    decide = f"{standing.threshold} of {len(sticks)} root keys decide"
    lines = [
        f"{name} is open in {desk.folder}.",
        f"Its log is {standing.origin}; {decide}.",
        "Keep the root keys apart from each other and from this machine.",
    ]
    show.answer(desk, lines, origin=standing.origin, folder=str(desk.folder))


def _new_sticks(desk: Desk, paths: list[Path]) -> list[Any]:
    """Return where root keys go, each with the pass-phrase that is asked for."""
    from ledger.acts.founding import RootStick

    return [
        RootStick(path=path, pass_phrase=desk.new_pass_phrase(path)) for path in paths
    ]


@signs(app)
def keys(desk: Desk) -> None:
    """Publish the keys file, signed by the roots.

    It is for strangers who check a certificate or a card.
    """
    from ledger.acts.copies import publish_keys

    path = publish_keys(desk.shop, desk.root_keys())
    size = desk.shop.store.head().size
    lines = [f"{path} speaks for {size} entries. Give it to whoever asks, yourself."]
    show.answer(desk, lines, file=str(path), size=size)


@signs(app)
def change_roots(
    desk: Desk,
    keep: KeepOption = [],  # noqa: B006 - typer reads the default
    new_root: NewSticksOption = [],  # noqa: B006 - typer reads the default
    threshold: ThresholdOption = 0,
) -> None:
    """Replace root keys, or how many of them decide.

    Roots of today approve: name those to keep, and with --root those that go.
    """
    from ledger.acts.founding import change_roots

    kept = desk.open_roots(keep)
    sticks = _new_sticks(desk, new_root)
    total = len(kept) + len(sticks)
    entry = change_roots(
        desk.shop,
        kept=kept,
        new=sticks,
        threshold=threshold or (total // 2 + 1),
        hands=desk.hands(),
    )
    deciding = entry.event["threshold"]
    lines = [
        f"{deciding} of {total} root keys decide, from entry {entry.index + 1} on.",
        "Publish the keys file again: flitchbook shop keys.",
    ]
    show.answer(desk, lines, entry=entry.index, threshold=deciding, roots=total)


@signs(app)
def renew_card_key(desk: Desk) -> None:
    """Make a new key for owner cards; the old one ends.

    The roots approve.
    """
    from ledger.acts import people
    from ledger.acts.signing import person_name

    pin = desk.pin_of(desk.person, is_signer=True)
    renewal = people.renew_card_key(desk.shop, desk.hands(), desk.key, pin)
    names = [person_name(desk.shop, person) for person in renewal.to_share]
    lines = [f"Cards are signed with a new key from entry {renewal.enrolled.index} on."]
    if names:
        lines.append(
            f"Share it again (flitchbook person share-card): {', '.join(names)}."
        )
    show.answer(desk, lines, entry=renewal.enrolled.index, to_share=names)


@signs(app)
def room(
    desk: Desk,
    temperature: TemperatureOption,
    humidity: HumidityOption,
    room: RoomOption = "crib",
) -> None:
    """Enter a room's air, and be told what it gives wood.

    That is the moisture at which wood comes to rest there.
    """
    from ledger import quantities
    from ledger.acts.rooms import measure_room

    warmth = quantities.temperature_millikelvin(temperature)
    damp = quantities.humidity_ppm(humidity)
    air = measure_room(
        desk.shop,
        room=room,
        temperature_millikelvin=warmth,
        humidity_ppm=damp,
        hands=desk.hands(),
    )
    lines = [
        f"{room}: {quantities.celsius(warmth, places=1)}, {quantities.humidity(damp)}, "
        f"entry {air.entry.index}. Wood comes to rest at "
        f"{quantities.percent(air.emc_ppm, places=1)} there, within one percent."
    ]
    show.answer(desk, lines, room=room, entry=air.entry.index, emc_ppm=air.emc_ppm)


@reads(app, "show")
def show_(desk: Desk) -> None:
    """Show the shop: its log, size, roots and country."""
    from ledger.trade.movement import place_words

    shop = desk.shop_of_any_edition
    standing, head = shop.standing(), shop.store.head()
    roots = len(standing.live_keys("root", head.size))
    left = record_outside.newest(shop)
    lines = [
        f"{standing.name}, {shop.settings.place}".rstrip(", "),
        f"log {standing.origin}, {head.size} entries",
        record_outside.words(shop, left, head.size),
        f"{standing.threshold} of {roots} root keys decide (version "
        f"{standing.root_version})",
    ]
    lines += shop_continue.words(standing.closed)
    country = shop.settings.country
    if country:
        lines.append(f"journeys start in {place_words(country)} ({country})")
    show.answer(
        desk,
        lines,
        name=standing.name,
        country=country or None,
        origin=standing.origin,
        size=head.size,
        root=head.root.hex(),
        threshold=standing.threshold,
        outside=record_outside.data(left),
        volume=standing.volume,
        closed=shop_continue.data(standing.closed),
    )


shop_continue.add_to(app)
shop_keys.add_to(app)
shop_policy.add_to(app)
shop_room.add_to(app)
