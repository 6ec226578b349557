"""Racks of boards for the tests of matching: made by hand, or by hypothesis."""

from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from ledger.craft.likeness import Candidate
from ledger.craft.matching_policy import first_matching_policy, matching_policy
from ledger.craft.wanted import Wanted
from ledger.ids import BoardId

FIRST = matching_policy(first_matching_policy())
TOP = Wanted(part="top", length_um=550_000, width_um=203_000, thickness_um=4_000)


def half(code: str, density: int = 420, **changes: Any) -> Candidate:
    """Return a half of spruce that would do for a top, with a density [kg/m3]."""
    board = Candidate(
        board=BoardId.parse(code),
        species="Picea abies",
        length_um=560_000,
        width_um=210_000,
        thickness_um=4_500,
        grade="first",
        density_gram_per_m3=density * 1_000,
        radiation_ratio_milli=12_800,
        across_pa=850_000_000,
        ring_width_um=1_400,
        figure="none",
        lab_milli=(80_000, 4_000, 22_000),
    )
    return replace(board, **changes)


def _candidate(code: str, values: tuple[int | None, ...]) -> Candidate:
    density, ratio, ring = values
    return half(
        code,
        density_gram_per_m3=density,
        radiation_ratio_milli=ratio,
        ring_width_um=ring,
    )


CODES = [f"L26-00{lot}-{n:02d}.{side}" for lot in "12" for n in (1, 2) for side in "AB"]
VALUES = st.tuples(
    st.none() | st.sampled_from([400_000, 404_000, 412_000, 430_000]),
    st.none() | st.integers(12_000, 13_600),
    st.sampled_from([1_200, 1_300, 1_500]),
)


def _rack(codes: list[str]) -> st.SearchStrategy[tuple[Candidate, ...]]:
    return st.tuples(*(st.builds(_candidate, st.just(code), VALUES) for code in codes))


# Some of eight halves of two lots, in any order, alike enough to tie now and then.
RACKS = st.lists(st.sampled_from(CODES), unique=True, min_size=1, max_size=8).flatmap(
    _rack
)
