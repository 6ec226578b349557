"""flitchbook lot match, build match, board match: wood that belongs together."""

import shutil
from pathlib import Path

import pytest

from tests import racked, skerrymoor
from tests.cli import bench as benches
from tests.cli.bench import Bench
from tests.racked import LOT, SERIALS, SETS, SIZES

LOOK = f"lot match --for top {SIZES}"
BUILDS = f"build match --for top {SIZES}"


@pytest.fixture(scope="module")
def racked_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a shop with two dozen halves and four builds begun, to be copied."""
    folder = tmp_path_factory.mktemp("racked")
    racked.rack(skerrymoor.opened(folder)).shop.close()
    return folder


@pytest.fixture
def rack(
    tmp_path: Path,
    racked_folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> Bench:
    """Give a bench at that shop."""
    shutil.copytree(racked_folder, tmp_path, dirs_exist_ok=True)
    return benches.opened(tmp_path, monkeypatch, capsys)


def test_a_lot_that_never_came_in_is_told_so(rack: Bench) -> None:
    """It is told from one of which nothing is numbered."""
    rack.refuses(f"{BUILDS} --of L99-001", "there is no lot L99-001: look at the label")


def test_the_rack_is_paired(rack: Bench) -> None:
    """Each pair with its points and why, the next best, and what is left."""
    told = rack.data(LOOK)
    said = rack.does(LOOK)

    assert len(told["pairs"]) == SETS
    first = told["pairs"][0]
    assert first["kin"] == "one_board" and first["points_milli"] > 0
    assert first["differences"][0].keys() == {"trait", "apart_ppm", "points_milli"}
    assert first["runner_up"]["extra_points_milli"] > 0
    assert {left["board"] for left in told["left"]} == {f"{LOT}-11", f"{LOT}-12"}
    assert told["policy"] == "first 1" and told["tap_methods"]
    assert said.startswith(f"{SETS} pairs for top, the most alike first:\n")
    assert f"{first['boards'][0]} with {first['boards'][1]}: " in said
    assert "the odd one out" in said and "nobody measured its length" in said
    assert "minimum-cost maximum matching in a general graph/1" in said
    assert max(map(len, said.splitlines())) <= 80


def test_boards_and_sets_are_named_typed_or_scanned(rack: Bench) -> None:
    """A lot stands for all its boards, which say why they are left."""
    scan = "https://skerrymoor.example/b/L26-001-02.AL"
    told = rack.data(f"{LOOK} {LOT}-01 {scan} {LOT}-02.b")
    whole = rack.data(f"{LOOK} {LOT}")
    rejected = next(e for e in whole["left"] if e["board"] == f"{LOT}-13")

    assert [pair["boards"] for pair in told["pairs"]] == [
        [f"{LOT}-01.A", f"{LOT}-01.B"],
        [f"{LOT}-02.A", f"{LOT}-02.B"],
    ]
    assert rejected["reasons"][0].startswith("rejected by entry ")


def test_wood_of_which_nothing_will_do_says_why(rack: Bench) -> None:
    """Unmeasured and rejected boards make no pair, and that is an answer."""
    said = rack.does(f"{LOOK} {LOT}-12 {LOT}-13")

    assert said.startswith("no two of these boards make a top.\n")
    assert f"    {LOT}-13: rejected by entry " in said


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (f"{LOOK} {LOT}-01.A", f"board {LOT}-01.A alone makes no pair"),
        (f"{LOOK} L26-009", "there is no lot L26-009: look at"),
        (f"{LOOK} {LOT}-99", f"there is no board {LOT}-99"),
        (f"{LOOK} {SERIALS[0]}", "give a board, a set or a lot"),
        (f"{LOOK} HTTPS://OTHER.EXAMPLE/B/{LOT}-01.AL", "not of this shop"),
        (f"{LOOK} --grade AAA", "'AAA' is none of the house's grades"),
        (f"{LOOK} --out card.txt", "ends in neither .pdf nor .png"),
        (f"{LOOK} --out pins.d/card.pdf", "there is no folder"),
        (LOOK.replace("530 mm", "530 g"), "530 g"),
        (LOOK.replace("530 mm", "0 mm"), "the length of top is 0"),
        (LOOK.replace("--for top", "--for ' '"), "a part has a name"),
        (LOOK.replace("--for top", "--for horn"), "no board on the rack is meant for"),
        (f"{BUILDS} --near density=420", "420"),
        (f"{BUILDS} --near density", "needs two sides, such as"),
        (f"{BUILDS} --near 'tone=420 kg/m3'", "'tone' is none of the traits density"),
        (f"{BUILDS} --near 'density=420 mm'", "420 mm"),
        (f"{BUILDS} --near 'density=0 kg/m3'", "is no wish"),
        (f"{BUILDS} --between 'density=380 kg/m3'", "has no two bounds"),
        (
            f"{BUILDS} --between 'density=440 kg/m3 to 380 kg/m3'",
            "440 kg/m3 is above 380 kg/m3",
        ),
        (
            f"{BUILDS} --near 'density=420 kg/m3' --near 'density=430 kg/m3'",
            "density is wished near something twice",
        ),
        (f"{BUILDS} --due {SERIALS[0]}=soon", "'soon' is no day"),
        (f"{BUILDS} --due 2027-03-01", "needs two sides"),
        (f"{BUILDS} {SERIALS[0]} --due {SERIALS[1]}=2027-03-01", "not among the"),
        (f"{BUILDS} --pieces 3", "top of 3 pieces cannot be matched"),
        (f"{BUILDS} 26-0009-1", "there is no instrument"),
        (f"{BUILDS} --record", "say who signs"),
        (f"{BUILDS} --record --by 12", "choosing boards that go together needs"),
        (f"board match {LOT}-11 --for top --by 03", "a pair is of 2 boards, not 1"),
        (f"board match {LOT}-01 --for top", "say who signs"),
        (f"board match {LOT}-01 --for horn --serial {SERIALS[0]} --by 03", "no part"),
    ],
)
def test_what_cannot_be_matched_is_refused(rack: Bench, command: str, why: str) -> None:
    """In one sentence, with nothing written anywhere."""
    rack.refuses(command, why)


def test_four_orders_get_four_tops_and_are_recorded(rack: Bench) -> None:
    """As one assignment; the entries stand, and each is allotted as it was found."""
    look = f"{BUILDS} --due {SERIALS[2]}=2026-03-01 --near 'density=430 kg/m3'"
    told = rack.data(look)
    said = rack.does(f"{look} --record --by 03")

    assert [each["serial"] for each in told["served"]] == [
        SERIALS[2],
        SERIALS[0],
        SERIALS[1],
        SERIALS[3],
    ]
    assert told["entries"] == [] and len(told["spare"]) == SETS - 4
    alike = ", ".join([SERIALS[2], *SERIALS[:2]]) + f" and {SERIALS[3]} wish the same: "
    assert f"{alike}of equals the older wood goes to the earlier order" in " ".join(
        said.split()
    )
    nexts = [each["runner_up"]["served"] for each in told["served"]]
    assert [[way["serial"] for way in ways] for ways in nexts] == [
        [each["serial"]] for each in told["served"]
    ]
    assert "nothing is allotted yet: flitchbook build allot" in said
    assert f"{SETS - 4} pairs more would do:" in said
    for each in told["served"]:
        one, other = each["boards"]
        assert one[:-2] == other[:-2]
        rack.does(f"build allot {each['serial']} {one[:-2]} --part top --by 03")
    rack.refuses(BUILDS, "no instrument that was begun is without its top")
    rack.refuses(f"{BUILDS} {SERIALS[0]}", f"{SERIALS[0]} has its top already")


def test_a_build_that_nothing_will_do_for_says_so(rack: Bench) -> None:
    """With how many were looked at, and what is wrong with them."""
    told = rack.data(f"{BUILDS} --between 'density=800 kg/m3 to 900 kg/m3'")
    said = rack.does(f"{BUILDS} {SERIALS[0]} --of {LOT}-12 --of {LOT}-13")

    assert [each["serial"] for each in told["unserved"]] == list(SERIALS)
    assert f"{SETS} below in density" in told["unserved"][0]["reason"]
    assert f"{SERIALS[0]}: none, there is no pair on the rack" in said


def test_a_part_of_one_board_is_matched_too(rack: Bench) -> None:
    """Such as a neck; of it there is no card."""
    sizes = "--length '700 mm' --width '90 mm' --thickness '20 mm'"
    said = rack.does(
        f"build match {SERIALS[0]} --for neck --pieces 1 {sizes} --out neck.pdf"
    )

    assert f"{SERIALS[0]}: {LOT}-14, 0.0 points\n" in said
    assert "it does, and nothing more was wished" in said
    assert "picture: none, for there is no pair to draw" in said


def test_a_pair_is_chosen_by_hand(rack: Bench) -> None:
    """Recorded with the rule's points and words, for an instrument or for none."""
    told = rack.data(f"board match {LOT}-05 --for top --by 03")
    said = rack.does(
        f"board match {LOT}-04.B {LOT}-04.A --for top --serial {SERIALS[0]} --by 03"
    )

    assert told["boards"] == [f"{LOT}-05.A", f"{LOT}-05.B"]
    assert "halves of one board" in told["reasons"]
    assert said.startswith(
        f"{LOT}-04.A with {LOT}-04.B: top of {SERIALS[0]}, entry {told['entry'] + 1}.\n"
    )


def test_a_match_needs_its_part_and_sizes(rack: Bench) -> None:
    """They are no option to leave out, for no model says them yet."""
    assert rack.run("lot match").code == 2
    assert rack.run("build match --for top").code == 2
    assert rack.run(f"board match {LOT}-05 --by 03").code == 2
