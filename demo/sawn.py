"""What the sawing left of boards that become several parts, and which part is which."""

from dataclasses import dataclass

from ledger.acts.sawing import PieceDraft


@dataclass(frozen=True, slots=True, kw_only=True)
class Sawn:
    """A board that was sawn: into which pieces, and how much of it was swept up."""

    board: str
    pieces: tuple[PieceDraft, ...]
    waste_mg: int


def _piece(meant_for: str, grams: int, *sizes_um: int) -> PieceDraft:
    length, width, thickness = sizes_um or (None, None, None)
    return PieceDraft(
        meant_for=meant_for,
        mass_mg=1000 * grams,
        length_um=length,
        width_um=width,
        thickness_um=thickness,
    )


def _offcut(what: str, grams: int) -> PieceDraft:
    return PieceDraft(meant_for=what, mass_mg=1000 * grams, is_offcut=True)


BRACE_BILLET = "brace billet"
SAWN = (
    Sawn(
        board="ebony plank",
        pieces=(
            _piece("fingerboard", 312, 520_000, 73_000, 8_000),
            _piece("bridge", 85, 180_000, 42_000, 11_000),
            _piece("headplate", 62, 210_000, 90_000, 3_200),
            _offcut("bridge strips", 290),
        ),
        waste_mg=120_000,
    ),
    Sawn(
        board="broad ebony plank",
        pieces=(
            _piece("fingerboard", 314, 520_000, 73_000, 8_000),
            _piece("headplate", 62, 210_000, 90_000, 3_200),
            _piece("bridge", 76, 150_000, 25_000, 20_000),
            _piece("tailpiece", 98, 160_000, 60_000, 10_000),
            _piece("tailpiece", 97, 160_000, 60_000, 10_000),
            _piece("pickguard", 66, 230_000, 70_000, 4_000),
            _offcut("bridge strips", 180),
        ),
        waste_mg=140_000,
    ),
    Sawn(
        board=BRACE_BILLET,
        pieces=(
            _piece("braces", 330),
            _piece("bars", 200),
            _piece("blocks", 110),
            _piece("linings", 130),
        ),
        waste_mg=108_000,
    ),
    Sawn(
        board="block stock",
        pieces=(
            _piece("blocks", 210),
            _piece("linings", 160),
            _offcut("block stock", 330),
        ),
        waste_mg=74_000,
    ),
    Sawn(
        board="maple strip",
        pieces=(
            _piece("bridge plate", 29, 200_000, 75_000, 3_500),
            _piece("binding", 63, 860_000, 44_000, 3_000),
            _offcut("maple strips", 70),
        ),
        waste_mg=27_000,
    ),
    Sawn(
        board="walnut offcut",
        pieces=(
            _piece("headplate", 37, 210_000, 90_000, 3_200),
            _piece("rosette", 27, 110_000, 100_000, 4_000),
            _offcut("walnut strips", 72),
        ),
        waste_mg=46_000,
    ),
)
# The slip of a finger that was refused before.
TYPED_WRONG = PieceDraft(meant_for="headplate", mass_mg=620_000)
# What each instrument is made of: a name of old stock, or a board and its piece.
FLAT_TOP = {
    "back": "rosewood back",
    "sides": "rosewood sides",
    "neck": "long neck",
    "fingerboard": "ebony plank, fingerboard",
    "bridge": "ebony plank, bridge",
    "bridge plate": "maple strip, bridge plate",
    "headplate": "ebony plank, headplate",
    "braces": "brace billet, braces",
    "blocks": "block stock, blocks",
    "linings": "block stock, linings",
    "rosette": "walnut offcut, rosette",
}
ARCH_TOP = {
    "top": "spruce wedges",
    "back": "maple back",
    "sides": "maple sides",
    "neck": "maple neck",
    "fingerboard": "broad ebony plank, fingerboard",
    "headplate": "broad ebony plank, headplate",
    "bridge": "broad ebony plank, bridge",
    "tailpiece": "broad ebony plank, tailpiece",
    "pickguard": "broad ebony plank, pickguard",
    "bars": "brace billet, bars",
    "blocks": "brace billet, blocks",
    "linings": "brace billet, linings",
    "binding": "maple strip, binding",
}
SPARE_TAILPIECE = "broad ebony plank, second tailpiece"
SOLID_BODY = {
    "body": "body blank",
    "cap": "walnut cap",
    "neck": "short neck",
    "fingerboard": "ebony board",
    "headplate": "walnut offcut, headplate",
}
