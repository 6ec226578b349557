"""That plots are on file is shown until it is struck, and only of what is there."""

import pytest

from ledger.acts.corrections import correct
from ledger.errors import TamperError
from ledger.events import PlotsFiled
from ledger.views.plots import plots_of
from tests.skerrymoor import Loft


def filed(lot: str, document: str) -> PlotsFiled:
    """Return the sentence that three plots of a lot were filed."""
    return PlotsFiled(
        lot=lot,
        document=document,
        harvested_from="2025-01-07",
        harvested_to="2025-02-14",
        number=3,
    )


def test_plots_are_shown_until_they_are_struck(supplied: Loft) -> None:
    """Then others may be filed in their place."""
    lot, paper = str(supplied.receive()), supplied.document()
    entry = supplied.say(filed(lot, paper), "02")
    with supplied.shop.store.reading() as session:
        found = plots_of(session, lot)
        assert found is not None
        assert (found.idx, found.document, found.number) == (entry.index, paper, 3)
    correct(
        supplied.shop, entry.index, reason="the wrong valley", hands=supplied.hands()
    )
    with supplied.shop.store.reading() as session:
        assert plots_of(session, lot) is None
        then = plots_of(session, lot, entry.index)
        assert then is not None and then.idx == entry.index
    supplied.say(filed(lot, paper), "02")


@pytest.mark.parametrize(
    ("lot", "document"), [("L26-099", "D26-0001"), ("L26-001", "D26-0099")]
)
def test_plots_of_nothing_are_no_entry(supplied: Loft, lot: str, document: str) -> None:
    """A lot that never came in, or a paper that is not on file."""
    supplied.receive()
    supplied.document()
    with pytest.raises(TamperError, match="before this entry"):
        supplied.say(filed(lot, document), "02")
