"""Plots drawn from the whole book: usual ones, and ones that try the drawing hard."""

from dataclasses import replace
from datetime import date, timedelta

from labels.plot_family import FamilyTree, Kin, Loss
from labels.plot_figure import Heading
from labels.plot_permit import Kind, PermitStack, Share
from labels.plot_timeline_facts import Hand, Rack, Timeline, Trip, Work
from labels.plots import Plot

LONG = "the board that Hallvard set aside behind the drying rack in the winter of 1986"
JAPANESE = "蝦夷松の板、新川健二"
WOODS = ("Picea abies", "Dalbergia latifolia", "Acer macrophyllum", "Juglans nigra")
BEGUN = date(2026, 7, 17)


def on(days: int) -> str:
    """Return the day so many days after the first step."""
    return (BEGUN + timedelta(days=days)).isoformat()


def rack(parts: str, species: str, months: int, *uses: int) -> Rack:
    """Return wood that came so many months before the first step."""
    return Rack(
        lot="L24-002",
        parts=parts,
        species=species,
        came_on=on(-30 * months),
        used_on=tuple(on(day) for day in uses),
    )


def hand(name: str, crafts: str, *days: int, machine: bool = False) -> Hand:
    """Return somebody who signed a step on each of these days."""
    return Hand(
        name=name,
        crafts=crafts,
        works=tuple(
            Work(step=f"step of day {day}", day=on(day), by_machine=machine)
            for day in days
        ),
    )


def timeline() -> Timeline:
    """Return the strip of an instrument that was certified after eighteen weeks."""
    return Timeline(
        heading=Heading(
            title="4 lots waited up to 30 months and became 26-0147-3 in 18 weeks",
            where="Tidewarden, Harbour Lights 3 of 12; hatched: in our racks",
            entries=(42, 61, 914),
        ),
        serial="26-0147-3",
        cut_on=on(0),
        until=on(127),
        racks=(
            rack("back, sides", "Dalbergia latifolia", 30, 0, 4),
            replace(
                rack("top, braces", "Picea abies", 6, 0, 6),
                felled=(on(-300), on(-280)),
            ),
            rack("bridge", "Diospyros crassiflora", 28, 48),
            rack("rosette", "unknown", 26, 3),
        ),
        hands=(
            hand("Jakub Wolański", "plates, brace", 0, 3, 4, 5, 6, 7, 10, 14),
            hand("Dmitri Lazarev", "machine", 3, 5, machine=True),
            hand("Noor Rahimi", "set-up", 48, 52, 59, 115),
        ),
        gates=(Work(step="voice the top", day=on(10)), Work(step="tried", day=on(70))),
        trips=(Trip(errand="show", sent_on=on(78), home_on=on(84)),),
        certified_on=on(127),
    )


def many_rows() -> Timeline:
    """Return an instrument of twenty lots by thirty people."""
    return replace(
        timeline(),
        racks=tuple(
            rack(f"part {n}", WOODS[n % 4], n + 1, n, n + 20) for n in range(20)
        ),
        hands=tuple(
            hand(f"Person {n}", "plates", *range(n % 7 + 1)) for n in range(30)
        ),
    )


def far_days() -> Timeline:
    """Return wood from a wreck of 1628 that was used at once, and one begun today."""
    return Timeline(
        heading=Heading(title="Far out", where="No such wood", entries=(1, 9999)),
        serial="26-0001-8",
        cut_on=on(0),
        until=on(0),
        racks=(
            replace(rack("all", "Quercus robur", 1, 0), came_on="1628-08-10"),
            replace(rack("more", "Quercus robur", 0, 0), is_open=True),
        ),
    )


def share(name: str, grams: int, kind: Kind = "instrument") -> Share:
    """Return a share of a stack."""
    return Share(name=name, mass_mg=grams * 1000, kind=kind)


def stack() -> PermitStack:
    """Return the stack of the worked example: 60 kg of ebony under permit P."""
    return PermitStack(
        heading=Heading(
            title="35.8 kg is left of 60.0 kg that came in under permit P",
            where="D26-0007, export permit P, valid to 2027-02-14; lot L24-002",
            entries=(12, 61, 610),
        ),
        what="kg of permit P",
        species="Diospyros crassiflora",
        left_mg=(5_100_000,) * 6 + (5_200_000,),
        shares=(
            share("for 26-0162", 3300, "kept"),
            share("26-0147-3", 3200),
            share("26-0139-3", 3000),
            share("26-0102-7", 3400),
            share("26-0031-7", 3100),
            share("kerf, dust and drying", 8200, "lost"),
        ),
        issued_mg=60_000_000,
        said="of 60.0 kg that came in by the first weighing, in 11 boards. Issued for "
        "60.0 kg, valid to 2027-02-14.",
    )


def many_shares() -> PermitStack:
    """Return a stack of four hundred boards of which sixty instruments were made."""
    shares = tuple(share(f"26-{n:04d}-3", 900 + 10 * n) for n in range(60))
    left = tuple(300_000 + 1000 * n for n in range(400))
    return replace(stack(), left_mg=left, shares=shares, issued_mg=90_000_000)


def far_masses() -> PermitStack:
    """Return a splinter beside a trunk, much more than the paper was issued for."""
    shares = (
        share("a trunk", 9 * 10**6, "gone"),
        Share(name="dust", mass_mg=1, kind="lost"),
    )
    return replace(stack(), left_mg=(1,), shares=shares, issued_mg=5)


def kin(code: str, grams: int, said: str, *pieces: Kin, lost: int = 0) -> Kin:
    """Return a board of a family, all of it ours, and what was made of it."""
    return Kin(
        code=code,
        mass_mg=grams * 1000,
        part_mg=grams * 1000,
        said=said,
        now_mg=None if pieces else grams * 1000,
        is_there=not pieces,
        pieces=pieces,
        losses=(Loss(what="not weighed", mass_mg=lost * 1000),) if lost else (),
    )


def family() -> FamilyTree:
    """Return a plank, its blank sawn on, and a joint glued with other wood."""
    strips = kin("L24-002-01.C5", 80, "bridge strips, offcut, in the rack")
    bridge = kin("L24-002-01.C4", 85, "bridge of 26-0147-3")
    blank = kin("L24-002-01.C1", 170, "bridge blank, sawn", bridge, strips, lost=5)
    joint = replace(kin("L24-002-01.C3", 300, "block, in the rack"), part_mg=100_000)
    spoiled = replace(kin("L24-002-01.C2", 98, "tailpiece, spoiled"), is_there=False)
    return FamilyTree(
        heading=Heading(
            title="Of 384 g of L24-002-01, 85 g is in 1 instrument and 180 g is left",
            where="L24-002, came in 2024-02-03",
            entries=(62, 610, 640),
        ),
        species="Diospyros crassiflora",
        board=kin("L24-002-01", 384, "plank, sawn", blank, spoiled, joint, lost=16),
    )


def many_pieces() -> FamilyTree:
    """Return a plank sawn into two hundred strips."""
    pieces = (kin(f"L24-002-01.C{n}", n + 1, "strips") for n in range(200))
    return replace(family(), board=kin("L24-002-01", 20_100, "plank", *pieces))


def far_generations() -> FamilyTree:
    """Return wood that was sawn on thirty times, a splinter beside a trunk."""
    last = kin("L24-002-01.C30", 9_000_000, "trunk")
    for number in range(29, 0, -1):
        splinter = replace(kin(f"L24-002-01.S{number}", 0, "splinter"), part_mg=1)
        last = kin(f"L24-002-01.C{number}", 9_000_000, "sawn", last, splinter)
    return replace(family(), board=last)


def usual() -> dict[str, Plot]:
    """Return one of each plot, as the shop would see it."""
    return {"timeline": timeline(), "permit": stack(), "family": family()}


def nothing() -> dict[str, Plot]:
    """Return one of each plot with nothing to draw."""
    return {
        "timeline": replace(timeline(), racks=(), hands=(), gates=(), trips=()),
        "permit": replace(stack(), left_mg=(), shares=(), issued_mg=None),
        "family": replace(family(), board=None),
    }


def single() -> dict[str, Plot]:
    """Return one of each plot with as little to draw as there can be."""
    one = replace(timeline(), gates=(), trips=(), certified_on=None)
    wood, person = rack("top", "Picea abies", 9, 0), hand("Jakub Wolański", "", 0)
    return {
        "timeline": replace(one, racks=(wood,), hands=(person,)),
        "wood": replace(one, racks=(wood,), hands=()),
        "hand": replace(one, racks=(), hands=(person,)),
        "permit": replace(stack(), left_mg=(1000,), shares=(), issued_mg=None, said=""),
        "family": replace(family(), board=kin("L24-002-01", 384, "plank")),
        "unused permit": replace(
            stack(), left_mg=(), shares=(share("not come in yet", 9000, "open"),)
        ),
    }


def renamed(words: str) -> dict[str, Plot]:
    """Return plots with other words wherever there are names."""
    heading = Heading(title=f"{words} " * 3, where=f"{words} " * 4, entries=(3,))
    strip = timeline()
    return {
        "timeline": replace(
            strip,
            heading=heading,
            serial=words,
            racks=tuple(replace(r, parts=words, species=words) for r in strip.racks),
            hands=tuple(
                replace(
                    each,
                    name=words,
                    crafts=words,
                    works=tuple(replace(work, step=words) for work in each.works),
                )
                for each in strip.hands
            ),
            trips=tuple(replace(trip, errand=words) for trip in strip.trips),
        ),
        "permit": replace(
            stack(),
            heading=heading,
            what=words,
            species=words,
            said=f"{words} " * 6,
            note=f"{words} " * 3,
            shares=tuple(replace(each, name=words) for each in stack().shares),
        ),
        "family": replace(
            family(),
            heading=heading,
            species=words,
            board=kin(
                words, 9, words, kin(words, 5, words), kin(words, 3, words), lost=1
            ),
        ),
    }


def crowded() -> dict[str, Plot]:
    """Return plots with very much to draw."""
    return {"timeline": many_rows(), "permit": many_shares(), "family": many_pieces()}


def extreme() -> dict[str, Plot]:
    """Return plots with very large, very small and very unequal values."""
    return {"timeline": far_days(), "permit": far_masses(), "family": far_generations()}


def every() -> dict[str, Plot]:
    """Return every plot above, by name."""
    found: dict[str, Plot] = {}
    for kind, plots in (
        ("usual", usual()),
        ("nothing", nothing()),
        ("single", single()),
        ("long", renamed(LONG)),
        ("japanese", renamed(JAPANESE)),
        ("crowded", crowded()),
        ("extreme", extreme()),
    ):
        found |= {f"{kind} {name}": plot for name, plot in plots.items()}
    return found
