"""Words beside the name of a paper: those that change nothing, and all others."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.trade.paperwords import TAKING_AWAY, plain, strange_in
from ledger.trade.tables import names, places


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("Permis d’exportation", "permi d exportation"),
        ("Re-Export Certificates", "reexport certificate"),
        ("permit No. 7", "permit number 7"),
        ("permit NO IN/77", "permit number in 77"),
        ("no permit 7", "no permit 7"),
        ("facture sans TVA", "facture vat"),
        ("sans facture", "sans facture"),
    ],
)
def test_words_are_made_plain(typed: str, words: str) -> None:
    """A number and a tax that look like a refusal are none."""
    assert plain(typed) == words


@pytest.mark.parametrize(
    ("words", "strange"),
    [
        ("of the export, India, 14 March 2026", ()),
        ("Dalbergia latifolia, rosewood, IN/77", ()),
        ("by Quillon timber, Quillon", ("quillon",)),
        ("gone for ever", ("gone", "ever")),
    ],
)
def test_what_is_not_listed_as_harmless_is_strange(
    words: str, strange: tuple[str, ...]
) -> None:
    """Each word once, as it came."""
    assert strange_in(plain(words)) == strange


@given(st.sampled_from([*(p.name for p in places().values()), *names()]))
def test_no_country_and_no_wood_is_strange(name: str) -> None:
    """Papers are filed under where they come from and what they are of."""
    assert strange_in(plain(name)) == ()


@pytest.mark.parametrize("word", TAKING_AWAY.split("; "))
def test_no_word_that_takes_a_paper_away_is_harmless_too(word: str) -> None:
    """Norway is NO, and stands no nearer to a permit for it."""
    assert word == "no" or strange_in(plain(word)) != ()
