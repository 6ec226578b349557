"""Try the tests on the mutants of a module: python -m tests.mutants merkle proof.

Names may be given in short (`merkle`, `check/card`); none means all of them, which
takes an hour. The answer is 1 where a mutant that is not known to change nothing went
unseen.
"""

import os
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

from tests import few
from tests.mutants import known
from tests.mutants.making import Mutant
from tests.mutants.trying import Trial

# The plugin that tries them has imported it before pytest does.
QUIET = ("-W", "ignore:Module already imported:pytest.PytestAssertRewriteWarning")


def main(words: Sequence[str]) -> int:
    """Try the modules that were named, and tell what no test saw."""
    paths = [p for p in known.MODULES if not words or any(_is(w, p) for w in words)]
    fared = [tried(path) for path in paths]
    return 0 if all(fared) else 1


def tried(path: str) -> bool:
    """Tell how a module fared, and whether every mutant that matters was seen."""
    counted = {True: 0, False: 0}
    same, left = known.EQUIVALENT.get(path, {}), []
    # pytest keeps what is written while tests run, so it goes by another way.
    out = os.dup(sys.stdout.fileno())

    def told(mutant: Mutant, is_seen: bool) -> None:
        counted[is_seen] += 1
        if not is_seen:
            left.append(mutant)
            word = "same" if mutant.name in same else "UNSEEN"
            _tell(out, f"  {word} {path}:{mutant.line} {mutant.name}")

    trial = Trial(path=path, told=told)
    options = ["-q", "-n", "0", "-p", "no:cacheprovider", *QUIET]
    pytest.main([*options, *known.tests_of(path)], plugins=[few, trial])
    unseen = [mutant for mutant in left if mutant.name not in same]
    _tell(
        out,
        f"{path}: {sum(counted.values())} mutants, {counted[True]} seen, "
        f"{len(left) - len(unseen)} change nothing, {len(unseen)} unseen",
    )
    if trial.failed:
        _tell(out, f"{path}: a test fails as it is: {trial.failed[0]}")
    return not unseen and not trial.failed


def _tell(out: int, line: str) -> None:
    os.write(out, f"{line}\n".encode())


def _is(word: str, path: str) -> bool:
    return Path(path).stem == word or path.removesuffix(".py").endswith(f"/{word}")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
