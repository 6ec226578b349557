"""flitchbook person: enrolled, qualified, appointed, retired, erased."""

import pytest

from tests.cli.bench import Bench

ENROL = "person enrol 'Teresa Quispe' --badge 04 --by 12 --approve 01"
ROOTS = "--root sticks/root-1.json --root sticks/root-2.json"


@pytest.fixture
def hiring(bench: Bench) -> Bench:
    """Give a bench whose pin file knows PINs for who is to come."""
    pins = (bench.folder / "pins").read_text()
    bench.file("pins", f"{pins}04 mallet\n03-new chisel\n")
    return bench


def test_a_person_is_enrolled_and_signs(hiring: Bench) -> None:
    """With what may be signed; the PIN is nowhere in the answer."""
    told = hiring.data(f"{ENROL} --qualify plates --qualified-by 01")

    assert told.keys() == {"badge", "entry"}
    said = hiring.does("person qualify 04 brace --by 01")
    assert said == "Teresa Quispe may sign brace.\n"
    hiring.does("build begin Tidewarden --by 01")
    assert "did, signed in entry" in hiring.does("build sign 26-0002-6 brace --by 04")


def test_everybody_is_listed_with_what_they_may(bench: Bench) -> None:
    """Roles and qualifications beside badge and name."""
    people = bench.data("person list")["people"]

    assert people[0].keys() == {"badge", "name", "retired", "may"}
    assert "  03  Jakub Wolański: plates, brace\n" in bench.does("person list")


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (f"{ENROL} --qualify juggling --qualified-by 01", "knows no 'juggling'"),
        (ENROL.replace("04", "02"), "badge 02 is Maura Kiely's and is not given again"),
        (ENROL.replace("04", "'a b'"), "'a b' is no badge: one to eight letters"),
        (ENROL.replace("04", "''"), "'' is no badge: one to eight letters"),
        (ENROL.replace("04", "123456789"), "is no badge: one to eight letters"),
        (
            ENROL.replace("04", "\uff10\uff19"),
            "for nobody tells it from 09: write it so",
        ),
        (ENROL.replace("Teresa Quispe", ""), "a name has 1 to 200 characters"),
        (ENROL.replace("Teresa Quispe", "T\u202eQ"), "U+202E"),
        (ENROL.replace(" --approve 01", ""), "ask a lead or a key-administrator"),
        (ENROL.replace("--by 12", "--by 03"), "is for a key-administrator"),
        ("person qualify 03 brace --by 01", "brace is held already"),
        ("person qualify 03 bind --by 02", "qualifying somebody is for a lead"),
        ("person qualify 99 bind --by 01", "nobody here is called '99'"),
        ("person appoint 03 boss --by 01", "lead or key-administrator"),
        ("person appoint 03 lead --by 01", "0 of 2 roots: bring another"),
        ("person retire 03 --by 12", "ask a lead or a key-administrator"),
        ("person erase 03 --by 12 --approve 12", "ask a lead or a key-administrator"),
    ],
)
def test_what_may_not_be_said_of_a_person_is_refused(
    hiring: Bench, command: str, why: str
) -> None:
    """Nothing is kept, neither in the log nor in the vault nor as a key file."""
    hiring.refuses(command, why)


def test_a_lead_is_appointed_with_the_card_key(bench: Bench) -> None:
    """The roots approve, and a lead shares what a lead needs."""
    told = bench.data(f"person appoint 12 lead --by 01 --card-by 01 {ROOTS}")

    assert told.keys() == {"badge", "role", "entry"}
    assert "issues" not in bench.does("person list")
    assert (
        bench.run("label card C-2026-00001 --by 12 --out card.pdf").code,
        (bench.folder / "card.pdf").exists(),
    ) == (0, True)


def test_a_retired_person_signs_no_more(bench: Bench) -> None:
    """And the list says so."""
    said = bench.does("person retire 03 --by 12 --approve 01")

    assert "what it signed before still stands" in said
    assert "Jakub Wolański (retired)" in bench.does("person list")
    bench.refuses("build begin Tidewarden --by 03", "is retired and signs nothing more")
    bench.refuses("person retire 03 --by 12 --approve 01", "has ended already")


def test_a_lost_key_is_replaced(hiring: Bench) -> None:
    """The same person signs on, with the new PIN only."""
    hiring.does("build begin Tidewarden --by 01")
    said = hiring.does("person replace-key 03 --by 12 --approve 01")

    assert "Jakub Wolański signs with a new key" in said
    sign = "build sign 26-0002-6 brace --by 03"
    assert hiring.run(sign).code == 1
    hiring.at += 31 * hiring.step
    hiring.file("pins", "03 chisel")
    assert "did, signed in entry" in hiring.does(sign)


def test_a_person_is_erased(bench: Bench) -> None:
    """The badge stands alone, and no file of the shop holds the name."""
    bench.does("person erase 03 --by 12 --approve 01")

    assert "  03  badge 03" in bench.does("person list")
    for path in (bench.folder / "shop").rglob("*"):
        assert path.is_dir() or "Wolański".encode() not in path.read_bytes()


def test_a_second_lead_is_made_and_dismissed(hiring: Bench) -> None:
    """With the card key shared by the first; dismissed, the cards are no more his."""
    hiring.does(f"person appoint 03 lead --by 01 {ROOTS}")
    hiring.does("person share-card 03 --by 01")
    card = "label card C-2026-00001 --by 03 --out"
    hiring.does(f"{card} card.pdf")
    told = hiring.data(f"person dismiss 03 lead --by 01 {ROOTS}")

    assert told.keys() == {"badge", "role", "entry"}
    hiring.refuses(f"{card} again.pdf", "only a lead signs cards")


def test_who_is_disqualified_signs_that_work_no_more(bench: Bench) -> None:
    """What was signed before stays signed."""
    told = bench.data("person disqualify 03 brace --by 01")

    assert told.keys() == {"badge", "entries"}
    bench.does("build begin Tidewarden --by 01")
    bench.refuses("build sign 26-0002-6 brace --by 03", "qualification brace")
    bench.does("record audit")


def test_a_bad_badge_is_told_before_anybody_types_a_pin(hiring: Bench) -> None:
    """Nor is a PIN file looked for, or a key opened."""
    hiring.patch.delenv("FLITCHBOOK_PIN_FILE")
    hiring.refuses(ENROL.replace("04", "''"), "'' is no badge")
