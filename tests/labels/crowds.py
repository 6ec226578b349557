"""Papers with far too much on them, with names that never end, and with nothing."""

from collections.abc import Callable
from dataclasses import replace
from typing import Literal, NamedTuple

from labels import card, certificate, label, label_sheet, tag, witness_slip
from labels.facts import Maker, Material, Measure, OwnerCertificate, Remark
from labels.tag import MaySign, NextStep, Signed, TagStep, Wood
from tests.labels.samples import (
    BACK_A,
    CARD,
    CERTIFICATE,
    CERTIFICATE_FILE,
    HEADING,
    PROOF_FILE,
    TAG,
    WHOLE,
)
from tests.labels.test_witness_slip import SLIP

LONG = "Associated Mountain Spruce and Maple Sawyers of the Upper Val Corda"
SPECIES = "Pseudoacacioides longissima borealis var. septentrionalis"
JAPANESE = "札幌市中央区北一条西二丁目 荒川健二弦楽器工房 第三ビル四〇五号室 " * 2
HANDS, WOODS = 40, 14


class Crowd(NamedTuple):
    """A paper to draw, and how far from each edge its words must keep [mm]."""

    draw: Callable[[], bytes]
    margin: float


def certified(words: str) -> OwnerCertificate:
    """Return a certificate that forty signed, with these words for every name."""
    return replace(
        CERTIFICATE,
        shop=words,
        place=words,
        model=words,
        run=words,
        signer_name=words,
        signer_rank=words,
        makers=tuple(
            Maker(f"{n:02}", f"{n} {words}", f"{words}, {words}") for n in range(HANDS)
        ),
        materials=tuple(
            Material(
                words, f"{n} {words}", words, words, words, f"L26-{n:03}-11.A", 99, 9999
            )
            for n in range(WOODS)
        ),
        measures=tuple(Measure(words, "9999.9", "mm") for _ in range(6)),
        remarks=tuple(
            Remark("2026-07-29", 63_402 + n, words * 3) for n in range(WOODS)
        ),
    )


NOTHING = replace(
    CERTIFICATE,
    shop="",
    place="",
    kind="",
    run="",
    makers=(),
    materials=(),
    measures=(),
    remarks=(),
    signer_name=None,
    signer_rank="",
)
CARRIED = replace(
    CARD,
    shop=LONG,
    model=LONG,
    run=LONG,
    entry=9_999_999,
    mass_g=123_456,
    species=tuple(f"{SPECIES} {n}" for n in range(WOODS)),
)
GENUS, _, EPITHET = SPECIES.partition(" ")
STUCK = tuple(
    replace(BACK_A, genus=GENUS, epithet=EPITHET, what=f"{words}, half A")
    for words in (LONG, JAPANESE)
)
MADE = (
    replace(WHOLE, genus=GENUS, epithet=EPITHET, what=LONG, made="glued"),
    replace(WHOLE, code="L24-018-107.C112", what=LONG.upper(), also=("L23-040",) * 9),
)
LOTS = [
    replace(each, code=f"L{n:02}-040-01", lot=f"L{n:02}-040")
    for n in range(WOODS)
    for each in (*STUCK, *MADE)
]
HEADED = replace(HEADING, species=SPECIES, sawyer=LONG, who=LONG)
TRAVELLING = replace(
    TAG,
    shop=LONG,
    model=LONG,
    kind=LONG,
    run=LONG,
    may_sign=tuple(MaySign(f"{n:02}", f"{n} {LONG}") for n in range(HANDS)),
    wood=tuple(Wood(LONG, f"{SPECIES} {n}", f"L26-004-{n}") for n in range(WOODS)),
    hazards=tuple(f"{SPECIES} {n}" for n in range(WOODS)),
    then=(LONG,) * 9,
    next_step=NextStep(24, LONG),
    steps=tuple(
        TagStep(n, f"{n} {LONG}", n % 5 == 0, "", Signed("08-11", "88"))
        for n in range(1, 101)
    ),
)


def drawn(
    shown: OwnerCertificate, paper: Literal["A4", "Letter"] = "A4"
) -> Callable[[], bytes]:
    """Return what draws a certificate."""
    return lambda: certificate.draw(
        shown, paper=paper, certificate_file=CERTIFICATE_FILE, proof_file=PROOF_FILE
    )


CROWDS = {
    "certificate, long": Crowd(drawn(certified(LONG)), 8),
    "certificate, no figure": Crowd(
        drawn(replace(certified(LONG), kind=LONG), "Letter"), 8
    ),
    "certificate, Japanese": Crowd(drawn(certified(JAPANESE), "Letter"), 8),
    "certificate, nothing": Crowd(drawn(NOTHING), 8),
    "card, long": Crowd(lambda: card.draw(CARRIED), 3),
    "card, no figure": Crowd(lambda: card.draw(replace(CARRIED, figure=None)), 3),
    "card, nothing": Crowd(
        lambda: card.draw(
            replace(CARD, shop="", kind="", run="", species=(), figure=None)
        ),
        3,
    ),
    "labels, 203": Crowd(lambda: label.roll([*STUCK, *MADE], dpi=203), 0.15),
    "labels, 600": Crowd(lambda: label.roll([*STUCK, *MADE], dpi=600), 0.15),
    "labels, nothing": Crowd(
        lambda: label.roll(
            [replace(BACK_A, genus="", epithet="", what="", received="", half=None)]
        ),
        0.15,
    ),
    "sheet, many lots": Crowd(lambda: label_sheet.sheet(LOTS, HEADED), 3),
    "sheet, one lot": Crowd(
        lambda: label_sheet.sheet(list(STUCK), HEADED, "Letter"), 3
    ),
    "sheet, nothing": Crowd(
        lambda: label_sheet.sheet(
            [WHOLE], replace(HEADING, species="", sawyer="", who="", date="")
        ),
        3,
    ),
    "slip, long": Crowd(
        lambda: witness_slip.draw(
            replace(SLIP, place=LONG, origin=LONG, size=9_999_999)
        ),
        1.5,
    ),
    "slip, nothing": Crowd(
        lambda: witness_slip.draw(replace(SLIP, place="", origin="")), 1.5
    ),
    "tag": Crowd(lambda: tag.draw(TRAVELLING), 3),
    "tag, A4": Crowd(lambda: tag.draw(TRAVELLING, paper="A4"), 3),
}
