"""Why wood was let through, said on paper in the language of who will hold it."""

from dataclasses import replace

import pytest

from cli.papers_reasons import reasons_in
from labels.tongue import tongue
from ledger.craft import fitting
from ledger.craft.policy import first_house_policy, house_policy
from ledger.craft.room import Air
from ledger.craft.seasoning import Rested, is_ready
from tests.languages import TRANSLATED

TODAY = "2026-06-01"
HOUSE = house_policy(first_house_policy())
DRY = Air(day=TODAY, humidity_ppm=300_000, emc_ppm=60_000, room="crib")
MEAN = replace(DRY, over_days=7, kept_days=7)
# Glued yesterday of two woods, damp, and heavier than last week.
YOUNG = Rested(
    woods=(("Picea abies", "2026-05-31"), ("Acer macrophyllum", "2026-05-31")),
    weighings=(("2026-05-18", 205_000), ("2026-05-25", 206_000), (TODAY, 209_000)),
    moisture_ppm=120_000,
    air=DRY,
)
DRIED = replace(YOUNG, moisture_ppm=20_000)
BOARDS = (
    YOUNG,
    DRIED,
    replace(YOUNG, woods=YOUNG.woods[:1], weighings=(), air=None),
    replace(YOUNG, air=replace(DRY, day="2026-04-01")),
    *(replace(board, air=MEAN) for board in (YOUNG, DRIED)),
    *(replace(board, air=replace(MEAN, kept_days=5)) for board in (YOUNG, DRIED)),
)
SMALL = fitting.fits(
    fitting.Wood(
        species=("Alnus rubra", "Tilia americana"),
        length_um=1,
        width_um=1,
        thickness_um=1,
    ),
    fitting.Wanted(
        part="top",
        species=("Picea abies", "Picea sitchensis"),
        length_um=530_000,
        width_um=200_000,
        thickness_um=3_000,
    ),
)


def reasons() -> list[str]:
    """Return what a rule can say against wood, each once."""
    rested = (is_ready(board, today=TODAY, policy=HOUSE).reasons for board in BOARDS)
    told = [reason for each in (*rested, SMALL.reasons) for reason in each]
    return list(dict.fromkeys(told))


@pytest.mark.parametrize("language", TRANSLATED)
def test_every_reason_of_a_rule_has_its_words(language: str) -> None:
    """With no English left, and each number as it was entered."""
    say = tongue(language)

    assert len(reasons()) == 20
    for reason in reasons():
        told = reasons_in([reason], say)
        assert told != reason
        assert not {"the", "than", "of", "days", "is"} & set(told.split()), told
        assert {*digits(reason)} <= {*digits(told)}, told


def digits(words: str) -> list[str]:
    """Return the numbers in a text."""
    return "".join(c if c.isdigit() or c in ".-" else " " for c in words).split()


def test_a_reason_is_said_as_a_paper_says_its_words() -> None:
    """Parts by their names, and with the space that French has before a semicolon."""
    both = ["rested 164 of 365\u2009days", SMALL.reasons[1]]

    assert reasons_in(both, tongue("fr")) == (
        "repos de 164 sur 365 jours\u00a0; il a 0.001\u2009mm de long, et la pièce "
        "finie (table) 530\u2009mm"
    )
    assert reasons_in(both[:1], tongue("de")) == "164 statt 365 Tage gelagert"


def test_what_no_rule_says_stays_as_it_was_entered() -> None:
    """And so does all of it in English."""
    own = "the lead's own word, of 3 days"

    assert reasons_in([own], tongue("de")) == own
    assert reasons_in(reasons(), tongue("en")) == "; ".join(reasons())
