"""flitchbook record put-back: what is missing comes back, or nothing does."""

import shutil
from pathlib import Path

from tests.cli.bench import Bench


def test_entries_of_an_export_are_put_back_behind_an_older_copy(bench: Bench) -> None:
    """And what is no newer is refused in one sentence."""
    shutil.copytree("shop", "older")
    bench.does("shop room --temperature 20C --humidity 44%RH --by 02")
    bench.does("record export out")
    bench.refuses("record put-back out", "holds no entry behind")
    shutil.rmtree("shop")
    Path("older").rename("shop")
    said = bench.run("record put-back out")

    assert said.code == 0 and said.out.startswith("The entries from ")
    # The account knew that it was missing.
    assert "1 entry is missing" in said.err
    bench.does("record audit --level roles")
    bench.refuses("record put-back nowhere", "holds no records")
