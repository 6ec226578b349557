"""flitchbook record reserve: numbers of lost entries, never given again."""

from tests.cli.bench import Bench


def test_numbers_are_kept_free_whenever_a_paper_turns_up(bench: Bench) -> None:
    """By a lead; a board's, a made-up or a known one is refused."""
    bench.refuses("record reserve C-2026-00044 --by 02", "lead")
    bench.refuses("record reserve L26-009-01 --by 01", "keep the lot's own code free")
    bench.refuses("record reserve nonsense --by 01", "no code of this shop")
    said = bench.data("record reserve 'C-2026-00044' L26-009 --by 01")
    assert said["numbers"] == ["C-2026-00044", "L26-009"]
    bench.refuses("record reserve L26-009 --by 01", "kept free already")
    bench.refuses("certificate show C-2026-00044", "in entries that are lost")
    line = "lot receive --species 'Picea abies' --form sawn --boards 1"
    said = bench.data(f"{line} --opening --evidence diary --by 02")
    assert said["lot"] == "L26-010"
