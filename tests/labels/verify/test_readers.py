"""Each part of the page's reader judges as the ledger's own part does."""

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from labels import verify
from ledger.errors import TamperError
from ledger.log import merkle
from ledger.log.encoding import canonical, parse
from ledger.log.entry import parse_record
from ledger.log.keys import SMALL_ORDER, PublicKey
from ledger.log.keysfile import read_keys_file
from ledger.log.proof import parse_proof
from tests.labels.verify import parts
from tests.labels.verify.pages import CARD, CERTIFICATE, KEYS, PROOF, VECTORS
from tests.labels.verify.parts import FAULT, RFC_8032, Ask, said
from tests.ledger.log.damage import broken_paths
from tests.ledger.log.workshop import vector_records


@pytest.fixture(scope="module")
def ask(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Ask]:
    """Give a way to ask one of the page's functions about many inputs."""
    with parts.asked(browser, tmp_path_factory.mktemp("parts")) as asking:
        yield asking


def test_the_vectors_are_answered_as_they_are_meant(ask: Ask) -> None:
    """A certificate, a card and a proof under their keys, and the keys file alone."""
    papers = [CERTIFICATE, CARD, PROOF, KEYS]
    with_keys = ask("check", [[paper, KEYS] for paper in papers])
    without = ask("check", [[paper, None] for paper in papers])

    assert [a["word"] for a in with_keys] == ["YES"] * 3 + ["CANNOT TELL"]
    assert [a["word"] for a in without] == ["CANNOT TELL"] * 4
    assert [a["kind"] for a in without] == ["certificate", "card", "proof", "keys"]
    assert {a["facts"]["serial"] for a in with_keys[::2]} == {"26-0001-8"}
    assert {a["key"] for a in with_keys[:3:2]} == {"c54e7deb9709ea6b"}


def test_every_record_of_the_vectors_has_its_leaf(ask: Ask) -> None:
    """Fourteen kinds, the same leaf hashes, and the root over them."""
    leaves = (VECTORS / "leaves").read_text(encoding="ascii").split()
    records = vector_records()

    assert ask("record", [[record.data] for record in records]) == leaves
    for n in range(len(records)):
        path = merkle.inclusion_path(n, 14, _node([r.leaf for r in records]))
        found = ask("rootFromPath", [[records[n].leaf, n, 14, list(path)]])
        assert found == [(VECTORS / "root").read_text(encoding="ascii").strip()]


ORDER = 2**252 + 27742317777372353535851937790883648493


def test_signatures_are_told_apart(ask: Ask) -> None:
    """True ones from those over other bytes, too short, or with S + L instead of S."""
    for key, message, signature in RFC_8032:
        raw, text, signed = (bytes.fromhex(v) for v in (key, message, signature))
        larger = int.from_bytes(signed[32:], "little") + ORDER
        again = signed[:32] + larger.to_bytes(32, "little")
        forged = [[raw, text + b"x", signed], [raw, text, signed[:63]]]
        forged += [[raw, text, again], [raw[::-1], text, signed], [b"", text, signed]]

        assert ask("hasSigned", [[raw, text, signed]]) == [True]
        assert ask("hasSigned", forged) == [False] * 5
    assert ask("canCheck", [[]]) == [True]


def test_a_key_of_small_order_is_no_key(ask: Ask) -> None:
    """None of the fourteen ways to write one, nor capitals, nor half a key."""
    texts: list[str | None] = [raw.hex() for raw in SMALL_ORDER]
    texts += [RFC_8032[0][0], RFC_8032[0][0].upper(), RFC_8032[0][0][:-1], None]
    ours = [said(lambda text: PublicKey.parse(text).raw, text) for text in texts]

    assert ask("publicBytes", [[text] for text in texts]) == ours
    assert ours.count(FAULT) == 17


@pytest.mark.parametrize("size", range(1, 20))
def test_a_path_proves_its_leaf_and_no_other(size: int, ask: Ask) -> None:
    """Every leaf of every small tree; and no path that is damaged."""
    leaves = [merkle.leaf_hash(b"%d" % n) for n in range(size)]
    inputs = []
    for n, leaf in enumerate(leaves):
        path = list(merkle.inclusion_path(n, size, _node(leaves)))
        whole = [bad for bad in broken_paths(path) if all(len(h) == 32 for h in bad)]
        inputs += [[leaf, n, size, way] for way in [path, *whole]]
        inputs += [[leaf, n + 1, size, path], [leaf, n, size + 1, path]]
    ours = [said(merkle.root_from_path, *given) for given in inputs]

    assert ask("rootFromPath", inputs) == ours
    assert ours.count(merkle.root(leaves).hex()) >= size


def _node(leaves: Sequence[bytes]) -> merkle.NodeReader:
    def read(level: int, number: int) -> bytes:
        return merkle.root(leaves[number << level : (number + 1) << level])

    return read


def test_proofs_are_read_alike(ask: Ask) -> None:
    """Cut at any line, with every line twice, and with indices of every form."""
    text = PROOF.decode("utf-8")
    lines = text.splitlines(keepends=True)
    texts = ["".join(lines[:n]) for n in range(len(lines) + 1)]
    texts += ["".join([*lines[:n], lines[n], *lines[n:]]) for n in range(len(lines))]
    forms = ("05", "+1", "-1", " 1", "1 ", "١", "1.0", "", str(2**53 - 1), str(2**53))
    texts += [text.replace("\nindex 10\n", f"\nindex {form}\n") for form in forms]
    ours = [said(lambda t: parse_proof(t).index, one) for one in texts]

    assert ask("proofIndex", [[one] for one in texts]) == ours
    assert 2 < len(ours) - ours.count(FAULT) < 16


def test_a_record_is_two_lines(ask: Ask) -> None:
    """Neither cut anywhere nor with a line more, nor with another line's end."""
    data = vector_records()[10].data
    inputs = [data[:n] for n in range(0, len(data), 7)]
    inputs += [data + b"\n", data + data, b"\n" + data, data.replace(b"\n", b"\r\n")]
    inputs += [data[:-3] + b"B=\n", data.replace(b"}\n", b"} \n"), b"x" * 65_536, data]
    ours = [said(lambda raw: parse_record(raw).leaf, one) for one in inputs]

    assert ask("record", [[one] for one in inputs]) == ours
    assert ours.count(FAULT) == len(ours) - 1


def test_a_keys_file_holds_only_whole(ask: Ask) -> None:
    """No bit of it can be another; here every fiftieth byte's."""
    inputs = [
        KEYS[:n] + bytes([KEYS[n] ^ 1 << n % 8]) + KEYS[n + 1 :]
        for n in range(0, len(KEYS), 50)
    ]
    ours = [said(lambda data: read_keys_file(data).number, one) for one in inputs]

    assert ask("keysNumber", [[one] for one in inputs]) == ours == [FAULT] * len(ours)
    assert ask("keysNumber", [[KEYS], [b"[" * 20_000_000]]) == [1, FAULT]


def test_both_say_in_the_same_words_that_a_file_is_cut_off(ask: Ask) -> None:
    """Wherever it was cut, within a word, a number, a text or between them."""
    whole = canonical({"a": [True, None, -12, {"b": 'x\\"\n'}], "c": False, "d": ""})
    inputs = [whole[:n] for n in range(1, len(whole))]
    inputs += [KEYS[:-1], CERTIFICATE[: len(CERTIFICATE) // 2]]
    seen = ask("why", [[one] for one in inputs])

    assert set(seen) == set(map(_why, inputs)) == {_why(KEYS[:-1])}
    assert "get it again" in seen[0]
    assert "get it again" not in "".join(ask("why", [[whole], [whole + b"x"], [b""]]))


def _why(data: bytes) -> str:
    """Return what the ledger's own reader says of bytes that are no object."""
    with pytest.raises(TamperError) as told:
        parse(data)
    return str(told.value)


@pytest.mark.parametrize("fault", ["throw 1", "return true", "return false"])
def test_a_browser_without_ed25519_cannot_tell(
    browser: Browser, tmp_path: Path, fault: str
) -> None:
    """Not even that something is damaged: it says why, and what would help."""
    before = f"() => {{ crypto.subtle.verify = async () => {{ {fault}; }}; }}"
    with parts.asked(browser, tmp_path, before=before) as ask:
        answers = ask("check", [[CERTIFICATE, KEYS], [b"noise", None]])

    assert [answer["word"] for answer in answers] == ["CANNOT TELL"] * 2
    assert "does not know Ed25519" in answers[0]["reasons"][0]


MODULES = {
    path.name: path.read_text(encoding="utf-8")
    for path in (verify.HERE / "js").iterdir()
    if path.name.endswith(".js")
}


@pytest.mark.parametrize("name", sorted(MODULES))
def test_a_module_can_be_read_at_a_sitting(name: str) -> None:
    """Two hundred lines, functions of forty, each exported one with its sentence."""
    lines = MODULES[name].splitlines()
    bodies = re.findall(r"^(?:\w+ )*function .*?^}$", MODULES[name], re.M | re.S)
    bare = [
        line
        for above, line in pairwise(lines)
        if re.match(r"export (async )?(function|class)", line)
        and not above.startswith("//")
    ]

    assert len(lines) <= 200
    # The bundler asks for an import in one line, however long.
    assert max(len(x) for x in lines if not x.startswith("import ")) <= 88
    assert all(body.count("\n") < 40 for body in bodies)
    assert not bare
