"""A paper is on file once, under a name that says what it is, and for its own wood."""

from typing import Any

import pytest

from ledger.acts import people
from ledger.acts.documents import file_document
from ledger.acts.lotpapers import add_batch_paper, add_paper
from ledger.acts.materials import BatchDraft, receive_batch
from ledger.acts.permits import LineDraft, read_permit
from ledger.errors import RefusedError
from ledger.log import attachments
from tests.skerrymoor import Loft

ROSEWOOD = "Dalbergia latifolia"
SHELL = BatchDraft(
    what="abalone",
    use="shell",
    species="Haliotis rufescens",
    received_on="2026-01-05",
)


def file(loft: Loft, paper: str, text: str = "P 77", **told: Any) -> str:
    """File a paper of these very bytes; return its code."""
    path = loft.shop.folder.parent / "scan.pdf"
    path.write_text(text, encoding="utf-8")
    facts = {"number": None, "issued_on": None, "expires_on": None} | told
    return file_document(loft.shop, path, paper=paper, hands=loft.hands("02"), **facts)


def read(loft: Loft, paper: str, species: str = ROSEWOOD) -> int:
    """Read a paper as issued for 40 pieces."""
    line = LineDraft(species=species, unit="pieces", amount=40)
    return read_permit(loft.shop, paper, [line], loft.hands("12")).index


@pytest.mark.parametrize("paper", ["export permit", "invoice", "re-export certificate"])
def test_the_same_file_is_on_file_once(loft: Loft, paper: str) -> None:
    """Under whatever kind: else a permit is drawn twice."""
    code = file(loft, "export permit")
    before = attachments.digests(loft.shop.attachments), loft.shop.store.head().size

    with pytest.raises(RefusedError, match=f"very file is {code} .export permit"):
        file(loft, paper, number="8")
    with pytest.raises(RefusedError, match=f"flitchbook document add {code} LOT"):
        file(loft, paper, about=loft.person("10").subject)
    assert before == (
        attachments.digests(loft.shop.attachments),
        loft.shop.store.head().size,
    )


def test_a_personal_paper_is_known_again_while_its_salt_is_kept(loft: Loft) -> None:
    """Once it is erased nobody can tell, and it may come again."""
    subject = loft.person("03").subject
    code = file(loft, "letter", "dear", about=subject)

    for about in (None, loft.person("10").subject):
        with pytest.raises(RefusedError, match=f"this very file is {code}"):
            file(loft, "letter", "dear", about=about)
    people.erase(loft.shop, subject, loft.hands("12", "01"))
    assert file(loft, "letter", "dear") != code


@pytest.mark.parametrize("number", ["IN/77-A", "in 77 a", "IN77A"])
def test_a_permit_of_the_same_kind_and_number_is_on_file_once(
    loft: Loft, number: str
) -> None:
    """A second scan of it has other bytes; capitals, spaces and hyphens aside."""
    code = file(loft, "export permit", number="IN/77-A")

    with pytest.raises(RefusedError, match=f"an export permit of number.*as {code}"):
        file(loft, "CITES-Ausfuhrgenehmigung", "again", number=number)
    assert attachments.digests(loft.shop.attachments) == (
        attachments.digest_of(b"P 77"),
    )
    assert file(loft, "import permit", "other kind", number=number)
    assert file(loft, "export permit", "other number", number="BR 77 A")
    assert file(loft, "invoice", "bill", number="9")
    assert file(loft, "invoice", "another bill", number="9")


@pytest.mark.parametrize(
    ("first", "then"),
    [
        ("CITES permit", "export permit"),
        ("export permit Quillon", "export permit"),
        ("invoice Quillon", "invoice"),
        ("kiln certificate", "invoice"),
        ("letter about the export permit", "export permit"),
        ("certificate of origin", "customs certificate of origin"),
    ],
)
def test_what_its_name_left_open_is_filed_again_and_is_one_paper(
    supplied: Loft, first: str, then: str
) -> None:
    """As the notes say; from then on the first counts for nothing new."""
    old, lot = file(supplied, first, number="7"), supplied.receive()
    new = file(supplied, then, number="7")

    refused = f"{old} .* was filed again as {new} .*give that"
    with pytest.raises(RefusedError, match=refused):
        add_paper(supplied.shop, str(lot), old, None, supplied.hands("02"))
    with pytest.raises(RefusedError, match=refused):
        read(supplied, old)
    with pytest.raises(RefusedError, match=refused):
        supplied.receive(documents=(old,))
    with pytest.raises(RefusedError, match=f"this very file is {new}"):
        file(supplied, then)
    assert add_paper(supplied.shop, str(lot), new, None, supplied.hands("02"))


@pytest.mark.parametrize("then", ["CITES", "export permit lost", "a scan", "Quillon"])
def test_a_name_that_says_no_more_is_no_reason_to_file_again(
    loft: Loft, then: str
) -> None:
    """It is on file as what it may be."""
    code = file(loft, "CITES permit")

    with pytest.raises(RefusedError, match=f"this very file is {code}"):
        file(loft, then)


def test_what_was_read_line_by_line_is_not_filed_again(loft: Loft) -> None:
    """Its lines are drawn under the code that it has."""
    code = file(loft, "CITES permit")
    read(loft, code)

    with pytest.raises(RefusedError, match=f"this very file is {code}"):
        file(loft, "export permit")


def test_a_paper_of_other_wood_is_joined_to_none(supplied: Loft) -> None:
    """Neither later nor when wood or shell comes in; its genus is enough."""
    code = file(supplied, "export permit")
    entry, hands = read(supplied, code), supplied.hands("02")
    spruce, batch = supplied.receive(), receive_batch(supplied.shop, SHELL, hands)

    other = f"{code} was issued for {ROSEWOOD} by entry {entry}, and "
    with pytest.raises(RefusedError, match=f"{other}{spruce} is Picea abies"):
        add_paper(supplied.shop, str(spruce), code, None, hands)
    with pytest.raises(RefusedError, match=f"{other}{batch} is Haliotis ruf"):
        add_batch_paper(supplied.shop, batch, code, hands)
    with pytest.raises(RefusedError, match=f"{other}the lot is Picea abies"):
        supplied.receive(documents=(code,))
    told = BatchDraft(
        what="ear shell",
        use="shell",
        species="Haliotis iris",
        received_on="2026-01-05",
        documents=(code,),
    )
    with pytest.raises(RefusedError, match=f"{other}the batch is Haliotis iris"):
        receive_batch(supplied.shop, told, hands)
    for species in (ROSEWOOD, "Dalbergia spp.", "unknown"):
        assert supplied.receive(species=species, documents=(code,))


@pytest.mark.parametrize("personal", [False, True])
def test_a_paper_that_another_station_files_meanwhile_is_refused(
    loft: Loft, monkeypatch: pytest.MonkeyPatch, personal: bool
) -> None:
    """It came after this one was compared, and before its turn."""
    about = loft.person("03").subject if personal else None
    put = attachments.put
    codes: list[str] = []

    def slow(*given: Any, **told: Any) -> str:
        kept = put(*given, **told)
        if not codes:
            codes.append("begun")
            codes.append(file(loft, "export permit", about=about))
        return kept

    monkeypatch.setattr(attachments, "put", slow)
    with pytest.raises(RefusedError, match="this very file is D26-0001"):
        file(loft, "export permit")
    assert codes[1] == "D26-0001"
