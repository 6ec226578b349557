"""A certificate that is withdrawn stays on record, and nothing new rests on it."""

import pytest

from ledger.acts import owners, service, shipments, withdrawing
from ledger.acts.certificates import certificate_paper
from ledger.acts.corrections import reasons_of
from ledger.acts.freight import Goods
from ledger.acts.histories import history
from ledger.acts.shipments import Journey
from ledger.audit import audit
from ledger.check import check_certificate
from ledger.errors import NotFoundError, RefusedError
from ledger.log.entry import Entry
from ledger.views.trace import trace
from tests.handed import SERIAL
from tests.skerrymoor import Loft

NUMBER = "C-2026-00001"


def withdrawn(loft: Loft, **changes: str) -> Entry:
    """Withdraw the first certificate."""
    told = {"number": NUMBER, "reason": "a wrong mass"} | changes
    return withdrawing.withdraw(loft.shop, hands=loft.hands(), **told)


def test_why_is_kept_in_the_vault_and_told_to_the_maker_alone(certified: Loft) -> None:
    """Anybody hears that it was withdrawn."""
    entry = withdrawn(certified)
    with certified.shop.store.reading() as session:
        given = reasons_of(certified.shop, session, {entry.index})
        maker, public = (
            [told.said for told in history(certified.shop, session, SERIAL, reader)]
            for reader in ("maker", "public")
        )
        lines = [line.said for line in trace(session, SERIAL)]

    assert given == {entry.index: "a wrong mass"}
    assert f'certificate {NUMBER} withdrawn: "a wrong mass"' in maker
    assert f"certificate {NUMBER} withdrawn" in public
    assert any(f"withdrawn by entry {entry.index}" in said for said in lines)


def test_its_proof_still_holds(certified: Loft) -> None:
    """Only the shop's status list tells a stranger."""
    file = certificate_paper(certified.shop, NUMBER).file
    withdrawn(certified)

    assert check_certificate(file.data, None).facts is not None
    assert audit(certified.shop).findings == ()


def test_no_paper_of_it_is_drawn_and_nothing_leaves_on_it(certified: Loft) -> None:
    """Nor is anybody its owner."""
    withdrawn(certified)
    shop, hands, said = certified.shop, certified.hands("12"), "was withdrawn by entry"
    with pytest.raises(RefusedError, match=said):
        certificate_paper(shop, NUMBER)
    with pytest.raises(RefusedError, match=said):
        owners.register(
            shop, serial=SERIAL, name="Kenji", registered_on=None, hands=hands
        )
    with pytest.raises(RefusedError, match=said):
        shipments.plan(
            shop,
            goods=Goods(serials=(SERIAL,)),
            journey=Journey(legs=("IT", "JP"), moves_on="2026-01-09", purpose="sale"),
            hands=hands,
        )
    with pytest.raises(RefusedError, match=said):
        service.send(shop, serial=SERIAL, to="Lyon", errand="sale", hands=hands)


def test_another_is_issued_at_once_and_once(certified: Loft) -> None:
    """Though nothing was done since; the build stays closed meanwhile."""
    withdrawn(certified)
    with pytest.raises(RefusedError, match=f"has its certificate {NUMBER}"):
        certified.allot(SERIAL, "top", "L26-001-01")
    assert certified.issue(SERIAL) == "C-2026-00002"
    with pytest.raises(RefusedError, match="nothing was done to it since"):
        certified.issue(SERIAL)
    assert audit(certified.shop).findings == ()


def test_what_cannot_be_is_refused(certified: Loft) -> None:
    """Twice, of none, without a reason, or by whoever keeps the papers."""
    with pytest.raises(RefusedError, match="withdrawing a certificate is for a lead"):
        withdrawing.withdraw(
            certified.shop, number=NUMBER, reason="mass", hands=certified.hands("12")
        )
    with pytest.raises(NotFoundError, match="there is no certificate C-2026-00009"):
        withdrawn(certified, number="C-2026-00009")
    with pytest.raises(RefusedError, match="the reason has 1 to"):
        withdrawn(certified, reason="")
    withdrawn(certified)
    with pytest.raises(RefusedError, match=r"was withdrawn by entry \d+ already"):
        withdrawn(certified)
