"""Every line of the README's table of tamperings, done and found by its command."""

import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from cli.record_pages import write_pages
from ledger.acts import certificates
from ledger.acts.copies import back_up, publish_keys
from ledger.acts.exchange import export
from ledger.acts.heads import sign_head
from ledger.acts.signing import card_key
from tests import skerrymoor
from tests.cli import bench as benches
from tests.scenarios.tampered import DONE, Scene

README = Path(__file__).parents[2] / "README.md"
LINE = re.compile(r"^\| ([^|`]+) \| `flitchbook ([^`]+)` \| ([^|]+) \|$", re.MULTILINE)
# What is true itself, so that the command ends well and says what to look at.
TRUE = {
    ("retypes the page around a true certificate, with another serial", "certificate"),
    ("puts the copy of a card into another guitar", "certificate"),
    (
        "puts an older copy in the place of the shop's folder, on a machine that knew "
        "the newer one",
        "person",
    ),
}
HEADING = "\n## Security\n"


def lines() -> list[tuple[str, str, str]]:
    """Return what somebody does, the command and what it says, of each line."""
    section = README.read_text(encoding="utf-8").partition(HEADING)[2]
    return LINE.findall(section.partition("\n## ")[0])


@pytest.fixture(scope="module")
def sold(
    tmp_path_factory: pytest.TempPathFactory,
    staffed_folder: Path,
) -> Path:
    """Give the folder of a shop that sold an instrument, and what left it."""
    folder = tmp_path_factory.mktemp("sold")
    loft = skerrymoor.again(folder, staffed_folder, "sold")
    shop = loft.shop = replace(loft.shop, state=folder / "account")
    loft.document()
    back_up(shop, folder / "copies").rename(folder / "older")
    number = loft.issue(loft.build())
    loft.sell("26-0001-8")
    paper = certificates.certificate_paper(shop, number)
    lead = card_key(shop, loft.person("01"), skerrymoor.LEAD.pin)
    (folder / "certificate.json").write_bytes(paper.file.data)
    text = certificates.card_text(shop, paper, lead)
    (folder / "card.txt").write_text(text, encoding="ascii")
    (folder / "slip.txt").write_text(sign_head(shop), encoding="utf-8")
    shutil.copyfile(publish_keys(shop, loft.roots), folder / "keys.json")
    export(shop, folder / "export", draw=write_pages)
    back_up(shop, folder / "copies").rename(folder / "copy")
    shop.close()
    return folder


def test_every_line_of_the_table_is_tried() -> None:
    """No line is a mere claim, and nothing that is tried is missing from it."""
    told = [done for done, _, _ in lines()]

    assert sorted(told) == sorted(DONE)


@pytest.mark.parametrize(("done", "command", "says"), lines())
def test_what_somebody_does_is_found(
    sold: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    done: str,
    command: str,
    says: str,
) -> None:
    """The command says what the table says, and does not call it sound."""
    loft = skerrymoor.again(tmp_path, sold, done)
    scene = Scene(bench=benches.opened(tmp_path, monkeypatch, capsys), loft=loft)
    DONE[done](scene)
    loft.shop.close()
    told = scene.bench.run(command)

    said = " ".join(f"{told.out} {told.err}".split())
    assert says in said, said
    assert told.code == (0 if (done, command.partition(" ")[0]) in TRUE else 1), said
