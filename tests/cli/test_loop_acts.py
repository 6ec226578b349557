"""What goes wrong or away, said on a round: with a reason, of what is in hand."""

import pytest

from ledger.log.entry import parse_record
from ledger.views.boards import Board
from ledger.views.builds import Build
from ledger.views.holds import open_holds
from ledger.views.service import trip_out
from tests import roadside
from tests.cli.bench import Bench
from tests.cli.rounds import OTHER, SERIAL, Walk
from tests.ledger.acts.photographed import scanned
from tests.roadside import GLUE


@pytest.fixture
def on_road(roadway: Bench) -> Walk:
    """Give somebody on a round where the model's steps ask for something."""
    return Walk(bench=roadway)


@pytest.mark.parametrize(
    ("lines", "why"),
    [
        (("release",), "nothing is in hand"),
        ((SERIAL, "release"), "is no board, and only boards are released so"),
        ((SERIAL, "photograph x.png"), "only boards are photographed so"),
        (("L26-001-01", "scrap"), "is no instrument, and only that of an instrument"),
        (("L26-001-01", "send"), "is no instrument"),
        (("L26-001-01.A", "release"), "is kept for nobody and allotted to nothing"),
        (("L26-001-01", "reserve 26-0009-9"), "26-0009-9"),
        (("L26-001-01.A", "photograph nowhere.png"), "there is no file nowhere.png"),
        ((SERIAL, "scrap"), f"no part of {SERIAL} has wood that could be spoiled"),
        ((SERIAL, "L26-001-01", "scrap lid"), "'lid' is no part of"),
        ((SERIAL, "rework 9"), "'9' is no step of"),
        ((SERIAL, "rework 1", "it slipped"), "nobody has signed step join the top"),
        ((SERIAL, "send the fair", "gift"), "'gift' is none of show, loan, service"),
        ((SERIAL, "send the fair", "show", "soon"), "soon"),
        ((SERIAL, "return none"), f"{SERIAL} is at home"),
        ((SERIAL, "hold"), "is a serial, and a hold is placed on what it rests on"),
        (("identify 1 x 2 mm",), "is not length, width and thickness"),
        (("identify 9 x 9 x 9 mm",), "no board on record measures that"),
        (("late yesterday",), "'yesterday' is no day and time: write such as"),
        (("late 2026-02-30 10:00",), "2026-02-30T10:00:00Z"),
        (("late 2027-01-01 10:00",), "is still to come: look at the clock"),
    ],
)
def test_what_cannot_be_said_is_refused(
    walk: Walk, lines: tuple[str, ...], why: str
) -> None:
    """In one sentence, and of what was asked nothing is recorded."""
    allotted = 2 if "L26-001-01" in lines and SERIAL in lines else 0
    before = walk.size()
    said = walk.says([*lines], options="--by 01")

    assert "nothing was recorded: " in said.out and why in said.out, said
    assert (said.err, walk.size()) == ("", before + allotted)


@pytest.mark.parametrize(
    "lines",
    [
        ("L26-001-01", "reserve", "26-0009-9", "A-17"),
        (SERIAL, "send", "a fair", "show", "soon", "2026-02-01"),
        ("identify", "559 x 203 x 4.2, 206 g", "559 x 203 x 4.2 mm, 206 g", "none"),
        ("identify 559 x 203", "559 x 203 x 4.2 mm", "none"),
        ("identify 559 x 203 x 4.2 mm", "L26-009-09.A", "none"),
        ("late", "2026-01-05 25:40", "2026-01-05 09:40"),
        ("late 2027-01-05 09:40", "now"),
        (SERIAL, "L26-002-01", "scrap lid", "neck", "it split at the heel"),
    ],
)
def test_an_answer_that_cannot_be_read_is_asked_for_again(
    walk: Walk, lines: tuple[str, ...]
) -> None:
    """What was answered before stays, and the next answer is taken."""
    said = walk.answers(*lines, options="--by 01", refused=1)
    wrong = next(n for n, s in enumerate(said) if s.startswith("nothing was recorded:"))

    assert said[wrong + 1].endswith("?")
    assert "the question before was left" not in "".join(said)


def test_a_question_that_is_open_at_the_end_is_left(walk: Walk) -> None:
    """And whoever went away hears it."""
    said = walk.says(["L26-001-01", "reserve"], options="--by 01").out

    assert said.endswith(": nothing recorded; the question that was open was left\n")


def test_the_newest_entry_is_told_whatever_was_said_last(walk: Walk) -> None:
    """What is not struck on a round is an entry all the same."""
    said = walk.says(["L26-001-01", "hold a crack"], options="--by 01").out

    assert said.endswith(f"1 put on hold; the newest entry is {walk.size() - 1}\n")


def test_a_hold_is_lifted_and_not_struck(walk: Walk) -> None:
    """Whoever would undo one hears which it is."""
    said = walk.says(["L26-001-01", "hold a crack", "undo"], options="--by 01")

    assert "L26-001-01 (H26-001) was put on hold, and that is not struck" in said.out


def test_a_board_is_kept_and_let_go(walk: Walk) -> None:
    """For the tag that is scanned as the answer."""
    said = walk.answers("L26-001-01", "reserve", SERIAL, "release", options="--by 03")

    assert said[1] == "for which instrument or order is L26-001-01 kept?"
    assert said[2].startswith(f"L26-001-01 kept for {SERIAL} as its top until 2026-02-")
    assert said[3].startswith("L26-001-01 free again, entry ")


def test_an_allotted_board_is_let_go_for_a_reason(walk: Walk) -> None:
    """Which is asked for, and kept out of the log."""
    said = walk.answers(
        *(SERIAL, "L26-002-01", "lock", "03"),
        *("L26-002-01", "release", "a knot in the heel"),
        options="--by 03",
    )

    assert said[-2] == f"why is L26-002-01 no longer the neck of {SERIAL}?"
    shop = walk.shop()
    with shop.store.reading() as session:
        assert session.get_one(Board, "L26-002-01").serial is None
    newest = shop.store.record(shop.store.head().size - 1)
    assert b"knot" not in newest
    shop.close()


def test_what_is_in_doubt_is_put_on_hold_where_it_lies(on_road: Walk) -> None:
    """A batch that is scanned is in hand, as a board is."""
    said = on_road.answers(GLUE, "hold", "it smells", "L26-001-04", "hold a shake")

    assert said[0].startswith(
        f"{GLUE} hide glue, 192 g strength, came in on 2026-01-02"
    )
    assert said[1] == f"why is {GLUE} in doubt?"
    assert said[2].startswith(f"H26-001: {GLUE} is in doubt, and all that rests on it")
    shop = on_road.shop()
    with shop.store.reading() as session:
        assert [row.code for row in open_holds(session)] == [GLUE, "L26-001-04"]
    shop.close()


def test_a_gauge_is_shown_with_its_calibration(on_road: Walk) -> None:
    """And nothing else is in hand then."""
    said = on_road.answers("L26-001-04", "G26-001")

    assert said[1] == (
        "G26-001 dial caliper, for length; good on 2026-01-02, until 2026-06-30"
    )


@pytest.mark.parametrize("code", ["B26-0002", "N26-0002"])
def test_body_and_neck_lead_to_their_tag(on_road: Walk, code: str) -> None:
    """With an instrument in hand or none."""
    said = on_road.answers(code, SERIAL, code)

    assert said[0].startswith(OTHER) and said[2] == said[0]


def test_a_body_of_no_instrument_is_refused(on_road: Walk) -> None:
    """It was misread, or is another shop's."""
    said = on_road.says(["B26-0099"])

    assert "B26-0099 is of no instrument of this shop" in said.out


def test_a_batch_without_a_step_leaves_the_tag_in_hand(on_road: Walk) -> None:
    """The step is named first."""
    said = on_road.says([SERIAL, GLUE, "1"], options="--by 03")

    assert f"{GLUE} is a batch, and goes with a step: name the step of" in said.out
    assert "signs" in said.out


def test_a_spoiled_part_and_a_step_done_again(on_road: Walk) -> None:
    """By the words of the trade, each with its reason."""
    on_road.answers(SERIAL, "3", "did", options="--by 04")
    said = on_road.answers(
        *(SERIAL, "scrap", "Neck", "the gouge slipped"),
        *("rework carve the neck", "a new neck"),
        options="--by 01",
    )

    assert said[1] == f"which part of {SERIAL} was spoiled: top, neck?"
    assert said[2] == f"how was the neck of {SERIAL} spoiled?"
    assert said[3].startswith(f"neck of {SERIAL} spoiled: L26-001-02, entry ")
    assert said[4] == f"why is carve the neck of {SERIAL} done again?"
    assert said[5].startswith(f"{SERIAL} carve the neck: to be done again, entry ")


def test_an_instrument_leaves_and_comes_home(walk: Walk) -> None:
    """Whither, for what and until when are asked for."""
    said = walk.answers(
        *(SERIAL, "send", "the fair", "show", "2026-02-01", "return", "as it left"),
        options="--by 01",
    )

    assert said[1] == f"whither does {SERIAL} go?"
    assert said[4].startswith(f"{SERIAL} left for the fair (show), due home 2026-02-01")
    assert said[6].startswith(f"{SERIAL} is home, entry ")
    shop = walk.shop()
    with shop.store.reading() as session:
        assert trip_out(session, SERIAL) is None
    shop.close()


def test_a_photograph_twice_is_asked_about(walk: Walk) -> None:
    """Yes files it of this board too; no leaves it."""
    picture = roadside.draw(walk.bench.folder / "front.png")
    said = walk.answers(
        *("L26-001-01.A", "photograph", str(picture)),
        *(
            "L26-001-01.B",
            f"photograph {picture}",
            "no",
            f"photograph {picture}",
            "yes",
        ),
    )

    assert said[2].startswith("L26-001-01.A photographed, entry ")
    assert "is on file already, photograph of L26-001-01.A, entry" in said[4]
    assert said[5] == "L26-001-01.B: no photograph was filed"
    assert said[7].startswith("L26-001-01.B photographed, entry ")


def test_what_a_camera_wrote_is_told_not_to_be_filed(walk: Walk) -> None:
    """After the line of the photograph itself."""
    picture = walk.bench.file("front.png", scanned())
    said = walk.answers("L26-001-01.A", f"photograph {picture}")

    assert said[1].startswith("L26-001-01.A photographed, entry ")
    assert said[2].endswith("such as where it was, is not filed")


def test_a_piece_without_a_label_is_identified(walk: Walk) -> None:
    """By its sizes and its mass; the nearest boards are named first."""
    said = walk.answers(
        *("identify", "810 x 95 x 24 mm, 1010 g", "L26-002-01", "the pencil mark"),
    )

    assert said[1].startswith("L26-002-01  ")
    assert "which is it: type its code, or 'none'?" in said
    assert said[-2] == "how is it known to be L26-002-01?"
    assert "L26-002-01 identified by measurement, " in said[-1]


def test_what_is_undone_under_late_is_struck_now(walk: Walk) -> None:
    """A correction happened when it was said, never before what it strikes."""
    before = walk.size()
    walk.answers("L26-001-01.A", "late 2026-01-05 09:40", "204 g", "undo", "misread")
    shop = walk.shop()
    said = (shop.store.record(n) for n in range(before, before + 2))
    weighed, struck = (parse_record(data).entry for data in said)
    shop.close()

    assert weighed.event["happened_at"] == "2026-01-05T09:40:00Z"
    assert struck.event["index"] == weighed.index
    assert "happened_at" not in struck.event


def test_what_was_written_by_hand_is_entered_late(walk: Walk) -> None:
    """Both times stand in the entry; the next person begins with now."""
    said = walk.answers(
        *(SERIAL, "late 2026-01-05 08:02", "1", "did"),
        options="--by 03",
        refused=1,
    )
    assert "and this is of 2026-01-05T08:02:00Z" in said[-1]
    shop = walk.shop()
    with shop.store.reading() as session:
        begun = session.get_one(Build, SERIAL).begun_at
    size = shop.store.head().size
    shop.close()
    walk.bench.at = walk.bench.at.replace(hour=18)
    said = walk.answers(
        *(SERIAL, "late 2026-01-05 16:40", "1", "did", "late now", "2", "did"),
        options="--by 03",
    )

    assert begun < "2026-01-05T16:40:00Z"
    assert "as of 2026-01-05T16:40:00Z, entry" in said[3]
    assert "as of" not in said[-1]
    shop = walk.shop()
    first, second = (parse_record(shop.store.record(n)).entry for n in (size, size + 1))
    shop.close()
    assert first.event["happened_at"] == "2026-01-05T16:40:00Z"
    assert "happened_at" not in second.event


def test_a_place_that_begins_as_a_word_is_a_place(walk: Walk) -> None:
    """Where wood lies already, a board goes there and is in no doubt."""
    said = walk.answers("L26-001-01", "to hold rack", "L26-001-02", "Hold rack")

    assert said[-1].startswith("L26-001-02 hold rack: put there")
