"""What a materials list shows, as plain values ready to print."""

from dataclasses import dataclass
from typing import NamedTuple


class MaterialRow(NamedTuple):
    """One species in one form, as sent.

    harvest is country codes of ISO 3166, such as "IT, NO". mass_mg and volume_mm3 are
    None where nobody took them. answer is "needed", "ask", "not needed" or begins
    "attached: ". words is the rule and the paper held, in words. aged says why it is
    to ask where no listing was found and the age of the tables alone leaves it open.
    """

    species: str
    trade_name: str
    part: str
    form: str
    harvest: str
    mass_mg: int | None
    volume_mm3: int | None
    listing: str
    answer: str
    words: str
    aged: str = ""


class Counts(NamedTuple):
    """The line to be read in twenty seconds; listed_mass_mg is of listed wood.

    is_whole is false where some of that was never weighed.
    """

    ask: int
    needed: int
    listed: int
    listed_mass_mg: int
    species: int
    is_whole: bool = True


class WithThisPage(NamedTuple):
    """A paper that should travel along, and whether it does."""

    text: str
    has: bool


class RuleRow(NamedTuple):
    """A rule that decided a row: the row's id, the rule, its source, its dates."""

    row: str
    rule: str
    source: str
    dates: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialsPaper:
    """Everything the pages of a materials list show.

    Dates are YYYY-MM-DD. address, sent_from, recipient, totals, host and whom_to_ask
    may be empty. check is the check character of number. totals is a note such as "net,
    as weighed". An erased signer is None. size counts the entries that the checkpoint
    vouches for, and ten_words stand for their root. beside is what is in dispute and
    what other laws ask for, in sentences under the line that is read first. Rows that
    are open for age alone come last, those of one reason together. holds are the
    numbers of those that are open on something in the shipment.
    """

    number: str
    date: str
    place: str
    shop: str
    address: str
    sent_from: str
    recipient: str
    sent_to: str
    what: str
    movement: str
    purpose: str
    counts: Counts
    beside: tuple[str, ...] = ()
    rows: tuple[MaterialRow, ...]
    totals: str
    animal_parts: tuple[str, ...]
    papers: tuple[WithThisPage, ...]
    table_compiled: str
    newest_source: str
    rules: tuple[RuleRow, ...]
    whom_to_ask: str
    size: int
    ten_words: tuple[str, ...]
    host: str
    check: str
    signer_badge: str
    signer_name: str | None
    signer_rank: str
    holds: tuple[str, ...] = ()
