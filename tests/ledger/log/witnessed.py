"""A log and a witness with published keys, over the classic tree of eight leaves.

Source: RFC 8032 section 7.1, tests 1 and 2; the leaves are those by which
implementations of RFC 6962 are compared.
"""

from ledger.log import merkle
from ledger.log.checkpoint import Checkpoint, NoteKey, sign_note
from ledger.log.cosignature import Request, WitnessKey
from ledger.log.keys import SecretKey

ORIGIN, WITNESS = "example.org/ledger-test", "example.org/witness-test"
LOG_KEY = SecretKey(
    bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
)
WITNESS_KEY = SecretKey(
    bytes.fromhex("4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb")
)
LOG = NoteKey(ORIGIN, LOG_KEY.public)
NOTARY = WitnessKey(WITNESS, WITNESS_KEY.public)
INPUTS = (
    "",
    "00",
    "10",
    "2021",
    "3031",
    "40414243",
    "5051525354555657",
    "606162636465666768696a6b6c6d6e6f",
)
LEAVES = tuple(merkle.leaf_hash(bytes.fromhex(text)) for text in INPUTS)
SECONDS = 1_767_225_600
VKEY = "example.org/ledger-test+9ddd9467+AddamAGCsQq31Uv+08lkBzoO4XLz2qYjJa8CGmj3B1Ea"
WITNESS_VKEY = (
    "example.org/witness-test+8f18e3dc+BD1AF8PoQ4lakrcKp00bfrycmCzPLsSWjMDNVfEq9GYM"
)
COSIGNED = (
    "— example.org/witness-test jxjj3AAAAABpVbkAlCAVrGPrh7PPLBOysfhaKIxAeFGWquMHzOTzLTJ"
    "vaYFjAQ6FiEJnYbxTEHnhfvV/r3FWRnPfhnuPj062vkIrAQ==\n"
)


def node(level: int, number: int) -> bytes:
    """Return a node of the tree, from its leaves."""
    return merkle.root(LEAVES[number << level : (number + 1) << level])


def head(size: int, leaves: tuple[bytes, ...] = LEAVES) -> Checkpoint:
    """Return the head of the first leaves."""
    return Checkpoint(origin=ORIGIN, size=size, root=merkle.root(leaves[:size]))


def note(size: int, leaves: tuple[bytes, ...] = LEAVES) -> str:
    """Return the log's checkpoint of the first leaves."""
    return sign_note(head(size, leaves).text, name=ORIGIN, secret=LOG_KEY)


def request(old: int, new: int) -> Request:
    """Return what a witness is given that signed for the first `old`."""
    path = merkle.consistency_path(old, new, node) if old else ()
    return Request(old=old, path=path, note=note(new))
