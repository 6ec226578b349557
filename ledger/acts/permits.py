"""What a paper was issued for, read off it line by line."""

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.acts.lots import require_no_trade_name
from ledger.acts.names import checked_words
from ledger.acts.paperchecks import require_current_paper
from ledger.acts.shop import Hands, Shop
from ledger.craft.fitting import taxon
from ledger.errors import RefusedError
from ledger.events import PermitRead
from ledger.events.wood import PermitLine
from ledger.log.entry import Entry
from ledger.views.permits import PermitRow, permit_rows

# A line has its amount in one of these.
UNITS = ("mass_mg", "volume_mm3", "pieces")
MOST_LINES = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class LineDraft:
    """A line as it stands on a paper: the species or genus, and one amount of it."""

    species: str
    unit: str  # one of UNITS
    amount: int
    as_written: str | None = None


def read_permit(
    shop: Shop, document: str, lines: Sequence[LineDraft], hands: Hands
) -> Entry:
    """Say what a paper on file was issued for, line by line; return the entry.

    Raises NotFoundError for a paper that is not on file, RefusedError where its lines
    were read before, or the same wood has two lines in one unit.
    """
    said = tuple(map(_line, lines))
    _require_lines(said)
    with shop.turn() as turn:
        require_current_paper(shop, turn.session, document)
        before = permit_rows(turn.session, document)
        if before:
            raise RefusedError(
                f"what {document} was issued for was read in entry {before[0].idx} "
                f"already: if that was misread, strike it first with flitchbook record "
                f"correct {before[0].idx}"
            )
        return turn.say(PermitRead(document=document, lines=said), hands)


def permit_unit(line: PermitLine | PermitRow) -> str:
    """Return in which unit a line of a paper has its amount."""
    return next(name for name in UNITS if getattr(line, name) is not None)


def _line(draft: LineDraft) -> PermitLine:
    if draft.amount < 1:
        raise RefusedError(
            f"a paper that permits nothing of {draft.species} has no line for it: "
            f"leave that line out"
        )
    species = checked_words("species", draft.species) or ""
    require_no_trade_name(species)
    return PermitLine(
        species=species,
        mass_mg=draft.amount if draft.unit == "mass_mg" else None,
        volume_mm3=draft.amount if draft.unit == "volume_mm3" else None,
        pieces=draft.amount if draft.unit == "pieces" else None,
        as_written=checked_words("amount", draft.as_written),
    )


def _require_lines(lines: Sequence[PermitLine]) -> None:
    """See that there are lines, and one only for the same wood in the same unit."""
    if not 1 <= len(lines) <= MOST_LINES:
        raise RefusedError(
            f"a paper has 1 to {MOST_LINES} lines, not {len(lines)}: give each as "
            f"--line 'Dalbergia latifolia=120 kg'"
        )
    seen: set[tuple[str, str]] = set()
    for line in lines:
        wood = taxon(line.species), permit_unit(line)
        if wood in seen:
            raise RefusedError(
                f"{line.species} has two lines in one unit: add them up, and give one"
            )
        seen.add(wood)
