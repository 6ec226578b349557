"""flitchbook record recover: only where entries were lost for good."""

from tests.cli.bench import Bench


def test_a_whole_log_has_nothing_to_recover(bench: Bench) -> None:
    """The refusal leads to what puts missing entries back."""
    bench.does("record export out")
    hands = "--by 01 --approve 12"
    bench.refuses(f"record recover out {hands}", "flitchbook record put-back")
    bench.refuses(f"record recover nowhere {hands}", "cannot be read")
    bench.refuses(f"record recover V#123 {hands}", "card")
