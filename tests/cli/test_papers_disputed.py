"""A certificate says which of its entries are in dispute, and who said them."""

import pytest

from cli.papers import owner_certificate
from cli.papers_disputed import mark
from labels.certificate import OwnerCertificate
from labels.tongue import tongue
from ledger.acts.certificates import certificate_paper
from ledger.acts.crediting import RECEIVED
from ledger.acts.disputes import report
from tests.aftersale import serviced
from tests.ledger.audit.tampering import index_of
from tests.shops import certified, certified_folder
from tests.skerrymoor import Loft

__all__ = ["certified", "certified_folder"]

STEP = "build.step-signed/2"


def shown(loft: Loft, language: str = "en") -> OwnerCertificate:
    """Return what the pages of the certificate show today."""
    paper = certificate_paper(loft.shop, "C-2026-00001")
    return owner_certificate(loft.shop, paper, "V#1", language)


def test_the_mark_names_an_entry_or_two_and_counts_more() -> None:
    """No comma in it: a row of works is counted by its commas."""
    say = tongue("en")

    assert mark((), say) == ""
    assert mark({40}, say) == "disputed: see 40"
    assert mark({41, 40}, say) == "disputed: see 40 and 41"
    assert mark({1_234_567, 40, 41}, say) == "disputed: see 40 and 2 more"


def test_a_maker_s_disputed_signatures_stand_before_the_work(certified: Loft) -> None:
    """The others' work stands as it did; one remark names every entry in dispute."""
    before = shown(certified)
    since = index_of(certified, STEP)
    report(
        certified.shop, certified.person("03"), str(since), certified.hands("12", "01")
    )
    after = shown(certified)
    (remark,) = set(after.remarks) - set(before.remarks)

    assert [maker for maker in before.makers if "disputed" in maker.work] == []
    assert {m.badge for m in after.makers if m not in before.makers} == {"03"}
    (hers,) = (m.work for m in after.makers if m.badge == "03")
    assert hers.startswith(f"disputed: see {since} and {since + 1}; join the top")
    assert remark.entry == since
    assert f"entries {since} and {since + 1} are disputed: keys that" in remark.text
    assert after.signer_rank == before.signer_rank == "lead builder"


def test_wood_that_was_received_and_service_bear_the_mark_too(certified: Loft) -> None:
    """Of whoever numbered it, and of whoever worked on the instrument later here."""
    shop, two = certified.shop, certified.hands("12", "01")
    certified.enrol(qualifications=["set-up"])
    hers = certified.hands("04")
    served = serviced(certified, "frets dressed", hands=hers).index
    by_others = serviced(certified, "refretted", by_others=True, hands=hers).index
    number = certified.issue("26-0001-8")
    numbered = index_of(certified, "board.numbered/2")
    report(shop, certified.person("02"), str(numbered), two)
    report(shop, certified.person("04"), str(served), two)
    page = owner_certificate(shop, certificate_paper(shop, number), "V#1")
    marked = {maker.badge: maker.work for maker in page.makers if "disp" in maker.work}
    (remark,) = (row.text for row in page.remarks if "are disputed" in row.text)

    assert marked.keys() == {"02", "04"}
    assert marked["02"].startswith(f"disputed: see {numbered} and ")
    assert marked["02"].endswith(f"; {RECEIVED}")
    assert marked["04"] == f"disputed: see {served}; frets dressed (2026)"
    assert f"{served} and {by_others} are disputed" in remark


@pytest.mark.parametrize(
    ("language", "rank", "said"),
    [
        ("en", "lead builder, disputed: see", "this certificate itself is disputed"),
        ("fr", "luthier principal, contesté\u00a0: voir", "ce certificat lui-même est"),
    ],
)
def test_a_certificate_whose_own_entry_is_in_dispute_says_so_first_of_all(
    certified: Loft, language: str, rank: str, said: str
) -> None:
    """In its remarks and beside who signed it."""
    own = index_of(certified, "certificate.issued/1")
    hands = certified.hands("12", "roots")
    report(certified.shop, certified.person("01"), str(own), hands)
    page = shown(certified, language)

    assert page.signer_rank == f"{rank} {own}"
    assert [row.entry for row in page.remarks if row.text.startswith(said)] == [own]
