"""What many tests of a file begin with, done at a bench once and copied from then on.

onward(bench, kept / "saw", at_the_saw)
"""

import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from tests.cli.bench import Bench
from tests.conftest import entropy_from


def onward(bench: Bench, kept: Path, work: Callable[[Bench], object]) -> Bench:
    """Give a bench after some work, which is done by whoever asks first.

    The clock goes on from the end of the work; chance begins anew, and not again as
    it did before the work.
    """
    clock = kept.with_name(f"{kept.name}.clock")
    if clock.exists():
        shutil.copytree(kept, bench.folder, dirs_exist_ok=True)
        bench.at = datetime.fromisoformat(clock.read_text(encoding="utf-8"))
    else:
        work(bench)
        shutil.copytree(bench.folder, kept)
        clock.write_text(bench.at.isoformat(), encoding="utf-8")
    bench.patch.setattr("secrets.token_bytes", entropy_from(kept.name))
    return bench
