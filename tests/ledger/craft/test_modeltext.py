"""The text of a model: read as it is written, and every fault named by its place."""

import pytest

from ledger.craft.families import family_text
from ledger.craft.modeltext import LONGEST_TEXT, read_model
from ledger.errors import RefusedError

PLAIN = """[model]
instrument = "ukulele"

[[part]]
name = "top"
rough = "300 x 110 x 3 mm"

[[step]]
name = "join"
needs = "plates"
uses_up = ["top"]

[[step]]
name = "string"
needs = "set-up"
after = ["join"]

    [[step.measure]]
    what = "relief"
    least = "0 mm"
    most = "0.3 mm"
"""


def refused(text: str | bytes) -> str:
    """Return what is said of a text that is no model."""
    data = text.encode() if isinstance(text, str) else text
    with pytest.raises(RefusedError) as refusal:
        read_model(data)
    return str(refusal.value)


def changed(old: str, new: str) -> str:
    """Return the plain text with one thing changed."""
    assert PLAIN.count(old) == 1
    return PLAIN.replace(old, new)


def test_a_text_says_what_the_model_is_and_no_more() -> None:
    """What it leaves away is left open: no size, species or order is made up."""
    draft = read_model(PLAIN.encode())
    (top,), (join, string) = draft.parts, draft.steps

    assert (draft.instrument, draft.family) == ("ukulele", None)
    assert top.rough == (300_000, 110_000, 3_000)
    assert (top.species, top.pieces, top.finished) == (None, None, None)
    assert (join.after, join.gate, join.rest_days) == ((), None, None)
    assert (string.measured[0].unit, string.measured[0].most) == ("length_um", 300)


def test_names_of_any_writing_are_read() -> None:
    """Japanese ones, composed ones, and a mark that an editor puts before the text."""
    text = PLAIN.replace('"top"', '"表板"').replace('"join"', '"cafe\u0301"')
    draft = read_model(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())

    assert draft.parts[0].part == "表板"
    assert draft.steps[1].after == ("caf\u00e9",)


@pytest.mark.parametrize(
    ("size", "read"),
    [
        ("559 x 203 x 4.2 mm", (559_000, 203_000, 4_200)),
        ("559x203×4,2mm", (559_000, 203_000, 4_200)),
        ("13 1/4 x 19 x 1 3/4 in", (336_550, 482_600, 44_450)),
        ("1.2 m x 203 mm x 3/16 in", (1_200_000, 203_000, 4_763)),
        ("? x 57 x ? mm", (None, 57_000, None)),
    ],
)
def test_sizes_are_read_in_the_units_of_the_bench(
    size: str, read: tuple[int | None, ...]
) -> None:
    """The last unit is that of all that have none."""
    draft = read_model(changed("300 x 110 x 3 mm", size).encode())

    assert draft.parts[0].rough == read


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('instrument = "ukulele"', "", "[model]: it has no instrument"),
        ("[model]", "[modell]", "the text has no 'modell'"),
        ('"ukulele"', '"ukulele"\nfamily = "harp"', "family is 'harp': write one of"),
        ('name = "top"', "", "part 1 (line 4): it has no name"),
        ('name = "top"', 'name = "top"\ncolour = "red"', "a part has no 'colour'"),
        ('name = "top"', 'name = "top"\npieces = 0', "pieces is 0"),
        ('name = "top"', 'name = "top"\npieces = true', "pieces is True"),
        ('name = "top"', 'name = "top"\noptional = "no"', "optional is 'no'"),
        ('name = "top"', 'name = "top"\nspecies = "Picea"', "species is a list"),
        ("300 x 110 x 3 mm", "300 x 110 mm", "is no size"),
        ("300 x 110 x 3 mm", "300 x 110 x 3", "is no size"),
        ("300 x 110 x 3 mm", "300 x 110 x 3 g", "is not a length"),
        ("300 x 110 x 3 mm", "300 x -1 x 3 mm", "below zero"),
        ("300 x 110 x 3 mm", "300 x 0 x 3 mm", "a side of nothing"),
        (
            "300 x 110 x 3 mm",
            '300 x 110 x 3 mm"\nfinished = "290 x 110 x 3.2 mm',
            "part 'top' (line 4): its finished thickness 3.2\u2009mm is above the",
        ),
        ('needs = "plates"', "", "step 'join' (line 8): it has no needs"),
        ('needs = "plates"', 'needs = "plates"\nrest = 8', "rest is 8: write it in"),
        (
            'needs = "plates"',
            'needs = "plates"\nrest = "8 mm"',
            "is not a span of days",
        ),
        ('needs = "plates"', 'needs = "plates"\nrest = "0 days"', "leave rest away"),
        ('needs = "plates"', 'needs = "plates"\ngate = "seen"', "inspected, approved"),
        ('after = ["join"]', 'after = ["join", "join"]', "names in after 'join' twice"),
        ('after = ["join"]', 'after = ["joins"]', "comes after 'joins', and there is"),
        ('uses_up = ["top"]', "", "no step uses up the part 'top'"),
        ('after = ["join"]', 'uses_up = ["top"]', "'top' is used up twice"),
        ('uses_up = ["top"]', 'uses_up = ["top"]\nafter = ["string"]', "in a circle"),
        ('least = "0 mm"', 'least = "0.4 mm"', "least 0.4 mm is above most 0.3 mm"),
        ('least = "0 mm"', 'target = "0.4 mm"', "target 0.4 mm is above most 0.3 mm"),
        ('least = "0 mm"', 'least = "0 g"', "in two units: least 0 g and most 0.3 mm"),
        (
            'least = "0 mm"',
            'least = "0 mmm"',
            "measure 'relief': '0 mmm' is no measure",
        ),
        (
            'least = "0 mm"',
            "least = 0",
            "least is 0: write it in quotes, with its unit",
        ),
        ('least = "0 mm"', 'unit = "furlong"', "'furlong' is no unit"),
        ('what = "relief"', "", "step 'string' (line 13): it has no what"),
        ('name = "join"', 'name = "join', "the text is no TOML"),
    ],
)
def test_a_fault_is_named_by_its_place(old: str, new: str, said: str) -> None:
    """By its part or its step, and the line where that begins."""
    assert said in refused(changed(old, new))


def test_a_measure_says_its_unit_or_its_band() -> None:
    """With neither nobody would know what to read."""
    text = changed('    least = "0 mm"\n    most = "0.3 mm"\n', "")

    assert "it has neither a band nor a unit" in refused(text)
    assert read_model((text + '    unit = "mm"\n').encode()).steps[1].measured[0].unit


def test_all_faults_are_told_at_once() -> None:
    """Nobody mends one to find the next; of very many a dozen are told."""
    two = PLAIN.replace('needs = "plates"', "").replace('"0.3 mm"', '"0.3"')
    many = PLAIN.split("[[step]]")[0] + "[[step]]\n" * 20

    assert refused(two).count("step '") == 2
    assert refused(many).endswith("and 8 more")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (b"", "the text has no [model]"),
        (b"a = " + b"[" * 5_000, "lists in lists without end"),
        ("# \xe9\n".encode("latin-1"), "line 1 is not written in UTF-8"),
        (b"#" * (LONGEST_TEXT + 1), "see that it is the right file"),
        (b"part = 3\nstep = [1]\n", "the text has no [[part]]"),
        (b"[model]\ninstrument = 'x'\n[part]\nname = 'top'\n", "has no [[part]]"),
        (b"\x00", "the text is no TOML"),
    ],
)
def test_what_is_no_text_of_a_model_is_refused(text: bytes, said: str) -> None:
    """Whatever file it was."""
    assert said in refused(text)


def test_the_line_of_a_fault_is_told_in_a_long_text() -> None:
    """Of the fiftieth step as of the first."""
    text = family_text("arch-top").decode()
    wrong = text.replace('after = ["measure the whole instrument"]', "after = [1]")
    line = next(
        n
        for n, words in enumerate(text.splitlines(), 2)
        if words == 'name = "settle and measure again"'
    )

    assert f"(line {line - 2})" in refused(wrong)
