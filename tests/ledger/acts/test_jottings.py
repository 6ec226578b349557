"""Lines beside the log are whole, and for few eyes."""

from dataclasses import dataclass
from pathlib import Path

from ledger.acts.jottings import jot, jottings


@dataclass(frozen=True, kw_only=True)
class Seen:
    """Something that was seen."""

    name: str


def test_only_the_owner_reads_them_and_half_a_line_spoils_no_other(
    tmp_path: Path,
) -> None:
    """What a power cut left stays a line of its own."""
    path = tmp_path / "seen"
    jot(path, Seen(name="one"))
    with path.open("ab") as file:
        file.write(b'{"name": "tw')
    jot(path, Seen(name="three"))

    assert path.stat().st_mode & 0o777 == 0o600
    assert jottings(path, Seen) == [Seen(name="one"), Seen(name="three")]
