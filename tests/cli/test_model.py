"""flitchbook model: drafted as a text, set down, shown, listed, and counted in wood."""

import tomllib

import pytest

from tests.cli.bench import Bench

DEFINE = "model define --by 01 --instrument mandolin --part top --step brace=brace"


def test_a_model_is_set_down_and_then_changed(bench: Bench) -> None:
    """Its versions count up; one is one and two are two."""
    assert bench.does(f"{DEFINE} Slipway") == "Slipway, version 1: 1 part, 1 step.\n"
    assert bench.data(f"{DEFINE} --part neck Slipway") == {
        "model": "Slipway",
        "version": 2,
        "nobody_holds": [],
    }


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("''", "the model's name has 1 to 32 characters"),
        ("x" * 10_240, "the model's name has 1 to 32 characters"),
        ("S --instrument ''", "the instrument has 1 to 38 characters"),
        ("S --step carve", "write such as 'brace the top=brace'"),
        ("S --step =brace", "names no qualification"),
        ("S --part top", "the part 'top' is named twice"),
        ("S --step brace=brace", "the step 'brace' is named twice"),
        ("S --part ''", "a part has a name"),
        ("S --by 03", "setting down a model needs the role lead"),
        ("S --from pins", "pins says it all: leave --instrument, --part and --step"),
    ],
)
def test_a_model_that_makes_no_sense_is_refused(
    bench: Bench, rest: str, why: str
) -> None:
    """Empty, endless or doubled names, and steps that ask for nothing."""
    bench.refuses(f"{DEFINE} {rest}", why)


@pytest.mark.parametrize(
    ("command", "why"),
    [
        ("model draft violin", "there is no family 'violin': draft one of flat-top"),
        ("model draft flat-top --out pins", "pins is there already"),
        ("model draft flat-top --out no/where.toml", "there is no folder no"),
        (
            "model define S --by 01",
            "give --from with a text, as flitchbook model draft",
        ),
        ("model define S --by 01 --from no.toml", "there is no file no.toml"),
        ("model define S --by 01 --from pins", "pins: the text is no TOML"),
        (
            "model define S --by 01 --from half.toml",
            "half.toml: the text has no [[part",
        ),
        ("model show Slipway", "there is no model Slipway"),
        ("model show Tidewarden --version 2", "no version 2: the newest one is 1"),
        ("model makes Slipway", "there is no model Slipway"),
        ("model makes Tidewarden --species spruce", "'spruce' is a name of the trade"),
    ],
)
def test_what_cannot_be_drafted_read_or_shown_is_refused(
    bench: Bench, command: str, why: str
) -> None:
    """With the file's name, and what to do."""
    bench.file("half.toml", "[model]\ninstrument = 'x'\n")
    bench.refuses(command, why)


def test_a_draft_is_set_down_shown_and_written_again(bench: Bench) -> None:
    """The text that comes back says what the draft said."""
    draft = bench.does("model draft flat-top")
    assert "flat.toml: change it, then" in bench.does(
        "model draft Flat-top --out flat.toml"
    )
    assert (bench.folder / "flat.toml").read_text() == draft
    told = bench.does("model define Lamplit --from flat.toml --by 01")

    assert told.startswith("Lamplit, version 1: 14 parts, 42 steps.\n")
    assert "note: nobody but a lead may sign frets today" in told
    again = bench.does("model show Lamplit --text")
    assert tomllib.loads(again) == tomllib.loads(draft)
    bench.file("again.toml", again)
    bench.does("model define Lamplit --from again.toml --by 01")
    assert bench.data("model show Lamplit")["version"] == 2


def test_a_model_is_shown_in_words(bench: Bench) -> None:
    """Its parts, and of each step whose it is, what comes before, what it asks for."""
    bench.does("model draft solid-body --out solid.toml")
    bench.does("model define Slipway --from solid.toml --by 01")
    lines = bench.does("model show Slipway").replace("\u2009", " ").splitlines()

    assert lines[0].startswith("Slipway, version 1: solid-body guitar (solid-body), en")
    squeezed = [" ".join(line.split()) for line in lines]
    cap = "cap Acer or Juglans, 2 pieces, rough 533 x 203 x 8 mm, finished"
    assert f"{cap} 470 x 165 x 6 mm" in squeezed
    marriage = "22 marry body and neck necks after 21; glued or bolted; body and neck"
    assert f"{marriage} of one number; must be inspected" in squeezed
    assert any(line.endswith("relief: from 0 mm to 0.3 mm") for line in lines)


def test_models_are_listed_by_name(bench: Bench) -> None:
    """Each in its newest version."""
    bench.does(f"{DEFINE} Slipway")

    assert [line.split(",")[0] for line in bench.does("model list").splitlines()] == [
        "Slipway",
        "Tidewarden",
    ]
    (slipway, _) = bench.data("model list")["models"]
    assert (slipway["parts"], slipway["steps"], slipway["version"]) == (1, 1, 1)


def test_a_shop_without_models_says_so(bare: Bench) -> None:
    """A draft needs no shop at all."""
    assert bare.data("model draft solid-body")["family"] == "solid-body"
    bare.refuses("model list", "there is no shop")


def test_the_rack_is_counted_for_a_model(bench: Bench) -> None:
    """What there is, what is scarcest, and what the number does not know."""
    told = bench.does("model makes Tidewarden").splitlines()
    data = bench.data("model makes Tidewarden --species Picea")

    assert told[0] == (
        "Tidewarden, version 1: wood for 0 ready today, for 0 with what still waits"
    )
    assert "scarcest: top and neck" in told
    assert told[-1].startswith("not known: how many parts one billet gives")
    assert (data["ready"], data["begun_last_365_days"]) == (0, 1)
