"""Ten thousand inputs for two readers: true, damaged and forged, the same every time.

    for case in forgeries.CLASSES["forged: by strangers"]():
        …

Each case says which words its making allows; neither reader was asked.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence

from ledger.check import CANNOT_TELL, NO, YES
from tests.labels.verify import (
    damage,
    edges,
    edges_of_codes,
    edges_of_keys,
    edges_of_volumes,
    forged,
    forged_keys,
    forged_signatures,
    good,
    structure,
)
from tests.labels.verify.cases import Case, only, sale

Maker = Callable[[], Iterator[Case]]
# A scan, a photograph, a letter, an archive: nobody signed them, and nobody forged.
NOTHING_SIGNED = (
    *(b"", b"\n", b"[]", b"null", b"%PDF-", b"V#", b"c2sp.org/", b"\xff", b"hello"),
    b"c2sp.org/tlog-proof@v1",
    b"%PDF-1.4\n1 0 obj\n<</Subtype/Image>>\nstream\nx\nendstream\n%%EOF\n",
    b"%PDF-1.7\n" + b"/FLBK_Certificat" * 9,
    b"\xff\xd8\xff\xe0" + b"\x00" * 4_194_310,
    b"PK\x03\x04" + b"flitchbook" * 99,
    b"V#12x",
    b"\xef\xbb\xbf{}",
)


def oddments() -> Iterator[Case]:
    """Yield what is no paper of a shop at all, and keys files in the wrong place."""
    one = sale()
    header = b"c2sp.org/tlog-proof@v1"
    torn = (b"{", b"{}", *(header + b"\n" * count for count in (1, 2, 3)))
    for words, files in ((only(CANNOT_TELL), NOTHING_SIGNED), (only(NO), torn)):
        for data in files:
            for keys in (None, one.keys, data, one.data):
                yield Case(what=f"{data!r:.60}", data=data, keys=keys, allowed=words)
    for before in (b".", b"{", b"%PDF-1.4\n", b"\x00" * 5_000_000):
        for name in (b"flitchbook-", b"flitchbook-certificate/1", b"Flitchbook-"):
            data = before + name
            yield Case(what=f"{data!r:.40} {name!r}", data=data, keys=one.keys)
    for keys in (None, one.keys, b"", one.data):
        yield Case(what="keys", data=one.keys, keys=keys)
        yield Case(what="record", data=one.record, keys=keys)
        yield Case(what="note", data=one.note.encode(), keys=keys)
        yield Case(what="certificate", data=one.data, keys=keys)


CLASSES: Mapping[str, Maker] = {
    "true: many shops": good.certificates_of_many_shops,
    "true: many words": good.certificates_by_chance,
    "true: many sizes": good.trees_of_many_sizes,
    "true: cards": good.cards_of_many_shops,
    "true: pages": good.pages,
    "true: proofs": good.proof_files,
    "true: shops made up": good.shops_made_up,
    "true: by the acts": good.papers_of_the_acts,
    "damaged: certificates": damage.certificates_damaged,
    "damaged: keys files": damage.keys_files_damaged,
    "damaged: cards": damage.cards_damaged,
    "damaged: pages": damage.pages_damaged,
    "damaged: proofs": damage.proofs_damaged,
    "damaged: lines": damage.lines_moved,
    "otherwise: base64": damage.base64_otherwise,
    "otherwise: hex": damage.hex_otherwise,
    "otherwise: json": damage.json_otherwise,
    "otherwise: cards": damage.cards_otherwise,
    "otherwise: notes": damage.notes_otherwise,
    "odd: certificate files": structure.certificate_files,
    "odd: events": structure.events,
    "odd: least events": structure.least_events,
    "odd: entries": structure.entries,
    "odd: keys files": structure.keys_files,
    "odd: signatures and lineages": structure.signatures_of_keys_files,
    "odd: foundings": structure.foundings,
    "odd: changes of roots": structure.changes_of_roots,
    "odd: nothing at all": oddments,
    "edge: days and times": edges_of_codes.days_and_times,
    "edge: codes and kinds": edges_of_codes.codes_and_kinds,
    "edge: depths": edges_of_codes.depths,
    "edge: reserved members": edges.reserved_members,
    "edge: signs": edges.signs,
    "edge: lengths": edges.lengths,
    "edge: the same names": edges.names_of_the_same,
    "edge: proofs": edges.proofs_otherwise,
    "edge: keys of the log": edges_of_keys.keys_of_the_log,
    "edge: volumes": edges_of_volumes.volumes_of_a_log,
    "edge: origins": edges_of_keys.origins_of_entries,
    "edge: changes of roots": edges_of_keys.stories_of_roots,
    "edge: many of each": edges.certificates_of_everything,
    "forged: by strangers": forged.by_strangers,
    "forged: shops of the same name": forged.shops_of_the_same_name,
    "forged: keys files by too few": forged_keys.keys_files_by_too_few,
    "forged: lineages": forged_keys.lineages,
    "forged: signers": forged.signers_not_entitled,
    "forged: heads and places": forged.heads_and_places,
    "forged: names and tokens": forged.names_and_tokens,
    "forged: pages": forged.pages,
    "forged: signatures": forged_signatures.odd_signatures,
    "forged: keys": forged_signatures.odd_keys,
    "forged: cards": forged.forged_cards,
    "forged: proofs": forged.forged_proofs,
}


def made(name: str) -> list[Case]:
    """Return the inputs of a class."""
    cases = list(CLASSES[name]())
    _counted[name] = len(cases)
    return cases


def counts() -> Mapping[str, int]:
    """Return how many inputs there are of each class, made here already or not."""
    return {name: _counted.get(name) or len(made(name)) for name in CLASSES}


_counted: dict[str, int] = {}


def row(name: str, words: Sequence[str]) -> str:
    """Return a line of the table: a class, how many, and how many of each word."""
    found = Counter(words)
    said = "  ".join(f"{found[word]:5}" for word in (YES, NO, CANNOT_TELL))
    return f"{name:34}{len(words):6}   {said}"


def table(counted: Mapping[str, int]) -> str:
    """Return the classes and their counts, and the sum of them, one to a line."""
    lines = [f"{name:34}{count:6}" for name, count in counted.items()]
    return "\n".join([*lines, f"{'together':34}{sum(counted.values()):6}"])
