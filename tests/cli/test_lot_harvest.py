"""flitchbook lot harvest: the countries of a lot or a batch, named afterwards."""

import pytest

from tests.cli.bench import SERIAL, Bench

SAID = "--why 'the sawyer, by letter' --by 02"


@pytest.fixture
def ebony(bench: Bench) -> Bench:
    """Give a bench with ebony of no country, as L26-003."""
    bench.does(
        "lot receive --by 02 --species 'Diospyros crassiflora' --boards 1 "
        "--supplier ferrante"
    )
    return bench


def test_every_country_that_it_may_be_is_told(ebony: Bench) -> None:
    """In words and as data, and by the lot afterwards."""
    assert "name it with flitchbook lot harvest L26-003" in ebony.does(
        "lot show L26-003"
    )
    said = ebony.does(f"lot harvest l26-003 ga Cameroon {SAID}")
    shown = ebony.data("lot show L26-003")

    assert said.startswith(
        "L26-003: harvested in Cameroon (CM) or Gabon (GA), and nobody knows which; "
    )
    assert (shown["harvested_in"], shown["may_be_from"]) == (None, ["CM", "GA"])
    assert "harvested in Cameroon (CM) or Gabon (GA), and nobody knows which" in (
        ebony.does("lot show L26-003")
    )
    assert "grown in CM or GA" in ebony.does("trace L26-003")


def test_one_country_is_the_country(ebony: Bench) -> None:
    """Until its entry is struck."""
    entry = ebony.data(f"lot harvest L26-003 CM {SAID}")["entry"]
    assert f"harvested in Cameroon (CM)  (entry {entry})" in ebony.does(
        "lot show L26-003"
    )
    ebony.does(f"record correct {entry} --by 02 --why 'of other wood'")
    assert ebony.data("lot show L26-003")["harvested_in"] is None


def test_a_batch_is_named_with_the_materials(ebony: Bench) -> None:
    """And by the command of lots as well."""
    ebony.does("material receive shell --as shell --species 'Nautilus spp.' --by 02")
    told = ebony.data(f"material harvest m26-001 PH ID {SAID}")
    assert (told["code"], told["countries"]) == ("M26-001", ["ID", "PH"])


@pytest.mark.parametrize(
    ("command", "code", "why"),
    [
        (f"lot harvest L26-003 {SAID}", 2, "Missing argument 'COUNTRY...'"),
        (f"lot harvest L26-003 高原 {SAID}", 1, "is no country: write two letters"),
        (f"lot harvest L26-099 CM {SAID}", 1, "there is no lot L26-099"),
        (f"lot harvest {SERIAL} CM {SAID}", 1, "what has a country of harvest came in"),
        (f"lot harvest L26-001 CM {SAID}", 1, "as was said when it came in"),
        ("lot harvest L26-003 CM --by 02", 1, "say who named the countries"),
        ("lot harvest L26-003 CM --by 02 --paper L26-1", 1, "not the code of a docum"),
    ],
)
def test_what_is_wrong_is_one_sentence(
    ebony: Bench, command: str, code: int, why: str
) -> None:
    """And nothing was recorded."""
    done = ebony.run(command)
    assert done.code == code
    assert why in done.err
    assert ebony.data("lot show L26-003")["may_be_from"] == []
