"""The story's clock and chance are set and counted."""

from demo import bench


def test_chance_is_counted_and_the_clock_is_set() -> None:
    """Two stories meet the same chance, and a morning begins at eight."""
    one, other, clock = bench.Chance(), bench.Chance(), bench.Clock()
    clock.morning_of("2026-07-20")

    assert one(70) == other(70) != other(70)
    assert clock().isoformat() == "2026-07-20T08:01:00+00:00"
