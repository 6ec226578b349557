"""flitchbook instrument: service, parts, trips and the life of an instrument."""

from datetime import timedelta

from tests.aftersale import picture
from tests.cli.bench import SERIAL, Bench

SEND = f"instrument send {SERIAL} --to 'the harbour fair' --for show --by 12"
OFF = f"instrument remove-part {SERIAL} top --fate owner --why 'a fall' --by 01"


def test_service_is_one_line(bench: Bench) -> None:
    """With fault, measures and a picture; anything wrong is one sentence."""
    picture(bench.folder / "crack.png")
    told = bench.data(
        f"instrument service S/{SERIAL} 'crack glued and cleated' --by 12 --fault "
        f"'crack in the top' --measured 'relief=-0.02 mm' --photo crack.png"
    )
    said = bench.does(f"instrument service {SERIAL} 'fret dressed' --by-others --by 01")

    assert told["serial"] == SERIAL
    assert said.startswith(f"{SERIAL}: fret dressed, in entry {told['entry'] + 1}.")
    assert f"flitchbook certificate issue {SERIAL}" in said
    for rest, why in (
        ("--on 2026-13-01", "is no day such as"),
        ("--measured relief", "'relief' needs a name and a value"),
        ("--used M26-009", "there is no batch M26-009"),
        ("--used L26-001", "is no"),
        ("--photo none.png", "there is no file none.png"),
    ):
        bench.refuses(f"instrument service {SERIAL} work --by 01 {rest}", why)


def test_a_part_comes_off_and_what_comes_next_is_told(bench: Bench) -> None:
    """Which boards came off, and how other wood goes on."""
    said = bench.does(OFF)

    assert (
        "top of 26-0001-8: L26-001-01.A and L26-001-01.B taken off, given to the"
        in (said)
    )
    assert f"flitchbook build allot {SERIAL} BOARD --part 'top'" in said
    bench.refuses(OFF, "has no top on it: of its parts neck can come off")
    assert bench.run(OFF.replace("owner", "sold")).code == 2


def test_trips_are_entered_listed_and_closed(bench: Bench) -> None:
    """Out once, home once; what is overdue says by how many days."""
    bench.at += timedelta(days=4)
    bench.does(f"{SEND} --on 2026-01-06 --until 2026-01-07")
    told = bench.data("instrument out")["out"]
    listed = bench.does("instrument out")

    assert [(row["serial"], row["overdue_days"]) for row in told] == [(SERIAL, 2)]
    assert (
        f"{SERIAL}: it left on 2026-01-06 for the harbour fair (show, entry" in listed
    )
    assert "due home 2026-01-07; overdue by 2 days" in listed
    bench.refuses(SEND, f"{SERIAL} is out: it left on 2026-01-06")
    said = bench.does(f"instrument return {SERIAL} --condition 'as it left' --by 12")
    assert said.endswith(": as it left.\n")
    bench.refuses(
        f"instrument return {SERIAL} --by 12", f"{SERIAL} is at home: it left"
    )
    assert bench.does("instrument out") == "Every instrument is at home, or sold.\n"


def test_the_history_is_told_to_three_readers(bench: Bench) -> None:
    """The maker reads whither it went, the owner that it went, the public nothing."""
    bench.does(SEND)
    heard = {
        reader: bench.does(f"instrument history {SERIAL} --for {reader}")
        for reader in ("maker", "owner", "public")
    }
    told = bench.data(f"instrument history {SERIAL} --for public")

    assert "left for the harbour fair, show  (entry" in heard["maker"]
    assert "left the shop, show  (entry" in heard["owner"]
    assert "harbour" not in heard["owner"] + heard["public"]
    assert [fact["said"] for fact in told["facts"]] == [
        "begun: Tidewarden, Harbour Lights 3 of 12",
        "built and signed off",
        "certificate C-2026-00001",
    ]
    bench.refuses("instrument history 26-0002-6", "no instrument 26-0002-6")


def test_a_day_entered_late_is_shown_beside_the_day_it_was(bench: Bench) -> None:
    """Both days stand in the line."""
    bench.at += timedelta(days=4)
    bench.does(f"{SEND} --on 2026-01-06")

    assert (
        "2026-01-06  left for the harbour fair, show  (entry 33, entered 2026-01-09)"
        in (bench.does(f"instrument history {SERIAL}"))
    )
