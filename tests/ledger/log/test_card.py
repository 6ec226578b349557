"""The owner card: its digits, its form, and that it always fits its square."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

import cbor2
import pytest
import qrcode
from hypothesis import given
from hypothesis import strategies as st
from qrcode.util import QRData

from ledger.errors import RefusedError, TamperError
from ledger.log.card import (
    DIGITS,
    LARGEST_CARD,
    CardClaims,
    from_digits,
    read_card,
    to_digits,
    write_card,
)
from ledger.log.keys import PublicKey, SecretKey
from ledger.log.keysfile import read_keys_file
from tests.ledger.log.cards import (
    CLAIMS,
    HEADER,
    KEY,
    altered,
    card_text,
    cose,
    other_cbor,
    unprinted,
)
from tests.ledger.log.damage import flipped
from tests.ledger.log.workshop import VECTORS, vector_records

TEXT = (VECTORS / "card.txt").read_text()
CARD = read_card(TEXT)
KEYS = read_keys_file((VECTORS / "keys.json").read_bytes()).keys
CARD_KEY = next(key.public for key in KEYS if key.purpose == "card")
HOSTS = ("", "skm.example", "a" * 60 + ".example", "ä.example")


def claims(**members: Any) -> CardClaims:
    """Return a card's claims, some of them as they are given."""
    return replace(CARD.claims, **members)


def cose_bytes(text: str) -> bytes:
    """Return the bytes that a card's text holds."""
    return from_digits(text.rpartition("#")[2])


def fits_17_q(text: str) -> bool:
    """Tell whether a library that draws symbols gets the text into a 17-Q."""
    prefix, sign, digits = text.rpartition("#")
    code = qrcode.QRCode(error_correction=qrcode.ERROR_CORRECT_Q)
    code.add_data(QRData((prefix + sign).encode(), mode=4), optimize=0)
    code.add_data(QRData(digits.encode(), mode=1), optimize=0)
    return code.best_fit() <= 17


def test_the_card_of_the_vectors_is_read() -> None:
    """It names the certificate's entry, leaf, serial and masses, and is signed."""
    said = CARD.claims
    record = vector_records()[10]

    assert (said.serial, said.certificate) == ("26-0001-8", "C-2026-00001")
    assert (said.model, said.issued) == ("Tidewarden", date(2026, 11, 21))
    assert said.species == (("Picea abies", 191),)
    assert (said.mass, said.makers, said.index) == (1986, 2, 10)
    assert said.leaf == record.leaf
    assert CARD.is_signed_by(CARD_KEY)


def test_the_card_of_the_vectors_is_written_byte_for_byte() -> None:
    """The same claims, key and host give the committed text, which fits its square."""
    seeds = dict(map(str.split, (VECTORS / "seeds").read_text().splitlines()))
    key = SecretKey(bytes.fromhex(seeds["card"]))

    assert write_card(CARD.claims, key, host="SKM.example", listed=()) == TEXT
    assert fits_17_q(TEXT)


def test_cose_is_signed_as_a_second_writer_signs_it(
    standards: Callable[[str], Any],
) -> None:
    """A COSE_Sign1 with algorithm -19 made elsewhere has these signed bytes."""
    known = standards("cards_cose_qr.json")
    data = bytes.fromhex(known["cose_sign1_compact_alg_-19_hex"])
    signed = bytes.fromhex(known["tbs_alg_-19_hex"])
    protected, _, payload, signature = cbor2.loads(data)
    # The first test key of RFC 8032 section 7.1.
    public = PublicKey.parse(
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a"
    )

    assert public.has_signed(signed, signature)
    assert cbor2.loads(protected) == {1: -19}
    assert cose(protected, payload)[1] == signed
    assert known["digits_codec"]["tail_digits_by_bytes"] == {
        str(size): width for size, width in DIGITS.items()
    }
    assert from_digits(known["digits_text"]).hex() == known["cose_sign1_compact_hex"]
    with pytest.raises(TamperError, match="is no COSE_Sign1"):
        read_card(to_digits(data))


@given(st.binary(min_size=1, max_size=400))
def test_bytes_of_any_length_come_back_from_their_digits(data: bytes) -> None:
    """Seven bytes are seventeen digits, and a rest has its own width."""
    text = to_digits(data)

    assert from_digits(text) == data
    assert len(text) == len(data) // 7 * 17 + (0, 3, 5, 8, 10, 13, 15)[len(data) % 7]


@pytest.mark.parametrize("size", range(1, 15))
def test_the_largest_bytes_have_as_many_digits_as_the_smallest(size: int) -> None:
    """Zeros in front are kept, and nothing overflows."""
    for data in (bytes(size), b"\xff" * size):
        assert from_digits(to_digits(data)) == data


@pytest.mark.parametrize(
    "text",
    [
        *("0" * n for n in (0, 1, 2, 4, 6, 7, 9, 11, 12, 14, 16, 18)),
        *("256", "65536", "9" * 17, "72057594037927936", "999"),
        *("12a", "-12", "+12", "1 2", "٣٣٣", "³³³", "1.2", "0x1", "12\n"),
    ],
)
def test_digits_that_no_bytes_give_are_refused(text: str) -> None:
    """Cut off, too large, or no digits: none of them is read as something else."""
    with pytest.raises(TamperError):
        from_digits(text)


def test_a_card_is_read_with_its_address_or_without() -> None:
    """What a reader hands over may be the link, the mark V#, or the digits alone."""
    digits = TEXT.rpartition("#")[2]

    assert read_card(digits) == read_card(f"V#{digits}\n") == CARD
    assert read_card(f"https://old.example/v#{digits}") == CARD


def test_no_digit_of_a_card_can_change() -> None:
    """One digit more, less or other, and it is refused or no longer verifies."""
    digits = TEXT.rpartition("#")[2]
    others = [
        digits[:n] + new + digits[n + 1 :]
        for n, old in enumerate(digits)
        for new in ("", str((int(old) + 1) % 10), old + old)
    ]

    assert is_sound(digits)
    for other in others:
        assert not is_sound(other)


def test_no_byte_of_a_card_can_change() -> None:
    """Of the bytes behind the digits each is signed, or is the signature."""
    protected, _, payload, _ = cbor2.loads(DATA)

    assert cose(protected, payload)[1] == CARD.signed
    for bad in flipped(DATA):
        assert not is_sound(to_digits(bad))


def is_sound(text: str) -> bool:
    """Tell whether a text is a card that names the vectors' card key, which signed."""
    try:
        card = read_card(text)
    except TamperError:
        return False
    return card.key == CARD_KEY.id and card.is_signed_by(CARD_KEY)


@pytest.mark.parametrize("said", altered())
def test_a_card_with_other_facts_is_refused_though_it_is_signed(
    said: dict[int, Any],
) -> None:
    """Eleven facts, each of its type and length; neither one more nor one less."""
    with pytest.raises(TamperError):
        read_card(card_text(said))


@pytest.mark.parametrize("said", unprinted())
def test_a_card_with_words_that_none_prints_is_refused(said: dict[int, Any]) -> None:
    """Another line, a control sign or a turned text could be taken for other facts."""
    with pytest.raises(TamperError, match="words hold what no card prints"):
        read_card(card_text(said))


def test_the_largest_facts_of_a_card_are_read() -> None:
    """A day before the millionth, and masses that any reader can hold."""
    said = read_card(card_text(CLAIMS | {2: 999_999, 6: 2**53 - 1})).claims

    assert said.issued == date(4707, 11, 28)
    assert said.mass == 2**53 - 1


@pytest.mark.parametrize(
    "header",
    [
        *({}, {1: -19}, {4: b"12345678"}, {1: -8, 4: b"12345678"}, {1: -19, 4: "12"}),
        {1: -19, 4: "12345678"},
        cbor2.dumps({1: -19.0, 4: b"12345678"}, canonical=True),
        cbor2.dumps({True: -19, 4: b"12345678"}, canonical=True),
        *({1: -19, 4: b"1234567"}, {1: -19, 4: b"12345678", 2: []}, [], b"", b"\xff"),
    ],
    ids=repr,
)
def test_a_card_names_ed25519_and_its_key_and_nothing_else(header: object) -> None:
    """Another algorithm, no key, or a further header is refused."""
    with pytest.raises(TamperError):
        read_card(card_text(header=header))


DATA = cose_bytes(TEXT)


@pytest.mark.parametrize("data", other_cbor(DATA), ids=lambda data: data[:8].hex())
def test_other_cbor_than_the_one_way_is_refused(data: bytes) -> None:
    """Tags, longer heads, other orders, doubles, rests and depths are no card."""
    with pytest.raises(TamperError):
        read_card(to_digits(data))


def test_what_is_twice_as_long_as_any_card_is_not_even_parsed() -> None:
    """No square of ours holds it, and a reader need not bear it."""
    for size, fault in ((664, "is no COSE_Sign1"), (665, "too long to be one")):
        with pytest.raises(TamperError, match=fault):
            read_card(to_digits(cbor2.dumps(bytes(size - 3))))


@given(st.binary(max_size=120))
def test_any_bytes_are_a_card_or_refused(data: bytes) -> None:
    """Whatever a symbol holds, reading it ends in a refusal, and in no other way."""
    for text in (to_digits(data), card_text(), to_digits(cose(HEADER, data)[0])):
        if text != card_text():
            with pytest.raises(TamperError):
                read_card(text)


SPECIES = st.lists(
    st.tuples(
        st.text("abcdefghij äöü", min_size=1, max_size=30), st.integers(0, 20_000)
    ),
    max_size=14,
)
MODELS = st.text(st.characters(exclude_categories=["Cc", "Cf", "Cs"]), max_size=120)


@given(st.sampled_from(HOSTS), SPECIES, MODELS, st.integers(0, 3))
def test_a_card_always_fits_or_is_not_made(
    host: str, species: list[tuple[str, int]], model: str, named: int
) -> None:
    """Whatever it is made of, the text fits a 17-Q, and listed species stay longest."""
    said = claims(species=tuple(species), model=model)
    listed = {name for name, _ in species[:named]}
    try:
        text = write_card(said, KEY, host=host, listed=listed)
    except RefusedError:
        assert host not in ("", "skm.example")
        return
    shown = read_card(text).claims

    assert fits_17_q(text)
    assert len(cose_bytes(text)) <= LARGEST_CARD
    assert read_card(text).is_signed_by(KEY.public)
    assert listed <= (names := {n for n, _ in shown.species}) or names <= {*listed, "+"}
    assert sum(grams for _, grams in shown.species) == sum(g for _, g in species)
    assert replace(shown, species=said.species, model=model) == said


def woods(count: int, falls: int = 1) -> tuple[tuple[str, int], ...]:
    """Return that many species, each so many grams lighter than the last."""
    return tuple((f"Lignum numero {n:02}", 100 - falls * n) for n in range(count))


def test_the_lightest_unlisted_species_go_first() -> None:
    """They are added up under a plus sign, behind those that keep their names."""
    said = claims(species=(species := woods(14)))
    text = write_card(said, KEY, host="a.example", listed={species[12][0]})
    shown = read_card(text).claims.species
    kept = [pair for pair in species if pair in shown]
    folded = [pair for pair in species if pair not in shown]

    assert shown == (*kept, ("+", sum(grams for _, grams in folded)))
    assert species[12] in kept
    assert len(folded) > 1
    assert folded == [s for s in species[-len(folded) - 1 :] if s != species[12]]
    assert read_card(text).claims.model == "Tidewarden"


def test_two_equal_items_are_folded_one_by_one() -> None:
    """Two necks of one wood and one mass are two masses, and none is lost."""
    said = claims(species=(("Cedrela odorata", 9),) * 20)
    shown = read_card(write_card(said, KEY, host="", listed=())).claims.species

    assert (len(shown) > 2, sum(grams for _, grams in shown)) == (True, 180)


def test_the_model_is_shortened_only_when_nothing_else_is_left() -> None:
    """All unlisted species are folded before the model loses a letter."""
    species = woods(7)
    listed = {name for name, _ in species[:6]}
    said = claims(species=species, model="The Long-Named Parlour Guitar")
    shown = read_card(write_card(said, KEY, host="", listed=listed)).claims

    assert shown.species == (*species[:6], ("+", species[6][1]))
    assert shown.model.endswith("…")
    assert said.model.startswith(shown.model[:-1])
    assert len(shown.model) >= 8


def test_the_last_to_go_are_the_lightest_of_those_that_are_listed() -> None:
    """Of two that weigh the same the later one goes; eight signs of the model stay."""
    said = claims(species=(species := woods(20, falls=0)), model="x" * 30)
    names = [name for name, _ in species]
    shown = read_card(write_card(said, KEY, host="", listed=names)).claims
    kept = len(shown.species) - 1

    assert 2 < kept < 20
    assert shown.species == (*species[:kept], ("+", 100 * (20 - kept)))
    assert shown.model == "xxxxxxx…"


def test_species_of_which_nobody_is_sure_go_before_the_listed_ones() -> None:
    """A card of sixteen of them is made, and says what the listed ones weigh."""
    said = claims(species=(species := woods(16)))
    names = [name for name, _ in species]
    text = write_card(said, KEY, host="", listed=names[12:], unsure=names)
    shown = read_card(text).claims.species

    assert set(species[12:]) < set(shown)
    assert read_card(text).claims.model == "Tidewar…"
    assert sum(grams for _, grams in shown) == sum(grams for _, grams in species)


@pytest.mark.parametrize("length", [*range(1, 60), 120, 250, 330, 360, 400])
def test_a_long_host_leaves_less_room_and_never_too_much(length: int) -> None:
    """With any address the fullest card still fits, or none is made."""
    host = "h" * length
    for extra in range(7):
        said = claims(species=(), model="M" * (200 + extra))
        try:
            text = write_card(said, KEY, host=host, listed=())
        except RefusedError as refusal:
            assert length >= 150
            assert length < 360 or "has room for 0 beside" in str(refusal)
            continue
        size = len(cose_bytes(text))
        more = len(to_digits(bytes(size + 1))) - len(to_digits(bytes(size)))
        assert text.startswith(f"https://{host}/v#")
        assert fits_17_q(text)
        assert size == LARGEST_CARD or not fits_17_q(text + "0" * more)


def test_a_card_without_a_host_holds_332_bytes() -> None:
    """That is the limit of the format, and a card of just that many bytes is made."""
    short = write_card(claims(species=(), model="M" * 30), KEY, host="", listed=())
    said = claims(species=(), model="M" * (30 + 332 - len(cose_bytes(short))))
    text = write_card(said, KEY, host="", listed=())
    longer = replace(said, model=said.model + "M")

    assert text.startswith("V#")
    assert len(cose_bytes(text)) == LARGEST_CARD == 332
    assert read_card(text).claims == said
    assert read_card(write_card(longer, KEY, host="", listed=())).claims != longer


def test_a_card_of_two_lines_is_not_made() -> None:
    """A second line could be taken for another fact."""
    with pytest.raises(RefusedError, match="one line"):
        write_card(claims(model="A\nB"), KEY, host="", listed=())
