"""flitchbook record affirm: what is not in dispute needs nobody to stand by it."""

from tests.cli.bench import Bench


def test_only_what_is_in_dispute_is_affirmed(bench: Bench) -> None:
    """The refusal says where to look; an entry that is not there is no entry."""
    hands = "--by 01 --approve 12"
    bench.refuses(f"record affirm 3 {hands}", "entry 3 is not in dispute")
    bench.refuses(f"record affirm 999 {hands}", "there is no entry 999")
    said = bench.data("person show 03")["keys"][0]

    assert said["disputed_since"] is None
