"""Every branch of the code that must last is run by the tests that belong to it."""

import json
import os
import subprocess
import sys
from pathlib import Path

from tests.mutants import known

ROOT = Path(__file__).parent.parent
# They go over every byte or every tree, and through no branch that others do not.
EXHAUSTIVE = (
    *("no_byte_of_a_keys_file", "no_byte_of_a_certificate", "no_byte_of_a_proof"),
    *("no_byte_of_a_list", "no_bit_and_no_byte", "twenty_thousand"),
    *("broken_path_proves_nothing", "65536th", "large_trees"),
    "hostile_file",
)


def test_every_branch_of_the_lasting_code_is_tested(tmp_path: Path) -> None:
    """Hashes, proofs, notes, roles, canonical bytes and a stranger's check.

    The tests of each module alone are run, in a process of their own, for what other
    tests happen to come by is not looked at by them.
    """
    data = {**os.environ, "COVERAGE_FILE": str(tmp_path / "coverage")}
    data.pop("PYTEST_ADDOPTS", None)
    tests = sorted({test for path in known.MODULES for test in known.tests_of(path)})
    left_out = " and ".join(f"not {name}" for name in EXHAUSTIVE)
    pytest = ["pytest", "-q", "-n", "0", "-p", "no:cacheprovider", "-p", "tests.few"]
    _run(data, "run", "-m", *pytest, "-k", left_out, *tests)
    _run(data, "json", "-q", "-o", str(tmp_path / "told.json"))
    told = json.loads((tmp_path / "told.json").read_text())["files"]
    missed = [
        f"{path}: lines {told[path]['missing_lines']}, "
        f"branches {told[path]['missing_branches']}"
        for path in known.MODULES
        if told[path]["missing_lines"] or told[path]["missing_branches"]
    ]

    assert not missed, "\n".join(missed)


def _run(environment: dict[str, str], *words: str) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "coverage", *words],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-3000:]
