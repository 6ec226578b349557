"""Tests of the letters and numbers that forms ask for."""

import pytest

from ledger.trade.forms import codes
from ledger.trade.movement import PLAYED
from ledger.trade.tables import wood_forms


def test_there_are_all_letters_for_source_and_purpose() -> None:
    """Resolution Conf. 12.3: eleven sources, twelve purposes."""
    assert sorted(codes.codes("source")) == list("ACDFIORUWXY")
    assert sorted(codes.codes("purpose")) == list("BEGHLMNPQSTZ")


def test_only_a_sale_and_personal_use_have_a_letter_of_their_own() -> None:
    """Whether a tour is P, T or Q is for the authority to say."""
    sale, personal = codes.purpose_letter("sale"), codes.purpose_letter("personal")

    assert sale is not None and sale.code == "T"
    assert personal is not None and personal.code == "P"
    assert codes.purpose_letter(None) is None
    for purpose in PLAYED - {"personal"}:
        assert codes.purpose_letter(purpose) is None  # type: ignore[arg-type]  # a set


@pytest.mark.parametrize(
    ("form", "kind", "code"),
    [
        ("logs", "plant", "LOG"),
        ("board", "plant", "SAW"),
        ("veneer_sheets", "plant", "VEN"),
        ("transformed_wood_4409", "plant", "TRW"),
        ("finished_instruments", "plant", "WPR"),
        ("shell", "animal", "SHE"),
        ("finished_instruments", "animal", None),
        ("inlay", "animal", None),
        ("unfinished_shaped_parts", "plant", None),
        ("no form at all", "plant", None),
    ],
)
def test_a_form_has_its_term_or_none(form: str, kind: str, code: str | None) -> None:
    """Guidelines for annual reports, section 6a, from memory."""
    found = codes.term_of(form, kind)

    assert (found.code if found else None) == code


def test_musk_is_never_an_instrument() -> None:
    """MUS is there so that nobody takes it for one."""
    assert codes.terms()["MUS"].term == "musk"
    for form in wood_forms():
        found = codes.term_of(form, "plant")
        assert found is None or found.code != "MUS"


def test_every_unit_of_a_term_is_metric_or_counted() -> None:
    """Kilograms, metres, litres and pieces."""
    units = {row.unit for row in codes.terms().values()}
    units |= {unit for row in codes.terms().values() for unit in row.other_units}

    assert units <= {"kg", "g", "m³", "m²", "l", "no."}


def test_tariff_numbers_have_the_digits_of_their_tariff() -> None:
    """Four or six of the HS of 2022; ten of the United States, under a known six."""
    for code, row in codes.tariff_numbers().items():
        assert code.isdigit()
        assert len(code) in ((4, 6) if row.tariff == "HS 2022" else (10,))
        assert code[:4] in codes.tariff_numbers()


def test_offers_are_of_the_form_or_of_the_digits_begun() -> None:
    """A guitar may be one of several; sawn wood has none in our table."""
    offers = {row.code for row in codes.tariff_offers("finished_instruments")}

    assert {"9202904000", "9207900040"} <= offers
    assert {row.code for row in codes.tariff_offers("logs", "92029040")} == {
        "9202904000"
    }
    assert codes.tariff_offers("sawn_wood") == ()


def test_ports_are_those_of_the_goods_and_the_country() -> None:
    """50 CFR 24.12; a port that was only proposed is not named."""
    general = {row.port for row in codes.ports_for("finished_instruments", "IE")}
    canada = {row.port for row in codes.ports_for("finished_instruments", "CA")}
    lumber = {row.port for row in codes.ports_for("sawn_wood", "IE")}

    assert len(general) == 15 and "Miami" in general
    assert canada - general == {"Blaine", "Buffalo", "Detroit"} | {
        "Port Huron",
        "Rouses Point",
    }
    assert {"Mobile", "Laredo"} <= lumber - general
    assert not {"Gulfport", "Portland", "Vancouver"} & lumber


def test_a_pair_of_words_stands_for_several_species() -> None:
    """Special designations; case is forgiven, a third word is not."""
    found = codes.designation_of("special spf")

    assert found is not None
    assert (found.genus_cell, found.species_cell) == ("SPECIAL", "SPF")
    assert codes.designation_of("SPECIAL SPF spruce") is None
    assert codes.designation_of("Picea abies") is None
    assert len(codes.designations()) == 7


def test_units_of_the_declaration_are_known() -> None:
    """The board foot is there, and is not metric."""
    assert codes.lacey_units()["kg"].is_metric == "yes"
    assert codes.lacey_units()["bf"].is_metric == "no"
