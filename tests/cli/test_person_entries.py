"""flitchbook person show and entries: what somebody signed, and how good it is."""

from tests.cli.bench import Bench


def test_a_person_is_shown_with_keys_and_signatures(bench: Bench) -> None:
    """All good, and after retiring too."""
    told = bench.data("person show 03")
    bench.does("person retire 03 --by 12 --approve 01")
    said = bench.does("person show Jakub")

    assert (told["badge"], told["bad"], told["retired"]) == ("03", [], False)
    assert told["may"] == ["plates", "brace"]
    assert said.startswith("03  Jakub Wolański: retired\n  key ")
    assert f"\n  {told['signatures']} signatures, all good\n" in said
    assert ", ended with " in said
    assert "no signature" in bench.does("person show 10")
    bench.refuses("person show 77", "nobody here is called '77'")


def test_the_entries_between_two_moments_are_listed(bench: Bench) -> None:
    """One a line, with how to strike each that was not that person's."""
    every = bench.data("person entries 03")["entries"]
    third = every[2]["entered"]
    said = bench.does(f"person entries 03 --since {third}")
    lines = said.splitlines()

    assert lines[0] == f"Jakub Wolański, badge 03: {len(every) - 2} entries"
    assert lines[1].startswith(f"  entry {every[2]['entry']}  {every[2]['kind']}")
    assert lines[-1].startswith("Strike each that is not yours: flitchbook record corr")
    assert "Strike" not in bench.does("person entries 03")
    assert "0 entries" in bench.does("person entries 03 --since 2026-02-01")
    bench.refuses("person entries 03 --since noon", "'noon' is no day such as")
