"""What article 9 asks of wood: each point is known, or asked, and never guessed."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger import quantities
from ledger.errors import RefusedError
from ledger.trade.consignment import Doubted
from ledger.trade.due_diligence import (
    WOOD_FORMS,
    Contact,
    Grown,
    Sheet,
    due_diligence,
)
from ledger.trade.tables import FINISHED_FOR_MUSIC
from tests.labels.consignments import CONSIGNMENT, CUSTOMER, GROWN, SAWYER, item

# Source: Regulation (EU) 2023/1115, article 9(1); (a) is two boxes here, and so is (d).
POINTS = ["(a)", "(a)", "(b)", "(c)", "(d)", "(d)", "(e)", "(g)", "(h)"]
BLANK: dict[str, Any] = {
    "form": "sawn_wood",
    "lots": ("L24-011",),
    "origin": "CM",
    "trade_name": "Gaboon ebony",
    "volume_mm3": 398_000,
}
EBONY = item(
    "L24-011-07", "Diospyros crassiflora", "fingerboard blank", 412_250, **BLANK
)
NOTHING: dict[str, Contact] = {}
NOWHERE: dict[str, Grown] = {}


def sheet_of(*items: Any, **known: Any) -> Sheet:
    """Return the sheet of some items, all beside them known if nothing else is said."""
    told: dict[str, Any] = {
        "customer": CUSTOMER,
        "suppliers": {"L24-011": SAWYER},
        "grown": {"L24-011": GROWN},
    } | known
    return due_diligence(replace(CONSIGNMENT, items=items), **told)


def box(sheet: Sheet, label: str) -> Any:
    """Return the first box whose label begins like this."""
    return next(b for wood in sheet.woods for b in wood.boxes if label in b.label)


def test_every_point_has_its_box() -> None:
    """In the order of the article; to whom it goes, (f), once for all woods."""
    sheet = sheet_of(EBONY)

    assert [each.number for each in sheet.woods[0].boxes] == POINTS
    assert sheet.customer.number == "(f)"


def test_what_is_in_doubt_is_asked_and_told() -> None:
    """A paper of the harvest at its point, and the plots at theirs."""
    invoice = EBONY.held[0]
    item = replace(EBONY, held=(), doubted=(Doubted(hold="H26-001", paper=invoice),))
    sheet = sheet_of(item, grown={"L24-011": replace(GROWN, hold="H26-002")})
    lawful, plots = box(sheet, "law asks"), box(sheet, "geolocation")

    assert lawful.value == plots.value == box(sheet, "time").value == ""
    assert lawful.comes_from == (
        f"HOLD H26-001: invoice 118/26 ({invoice.document}) is in doubt, and not "
        f"counted as on file. Ask the supplier for the papers of the harvest; none is "
        f"held."
    )
    assert plots.comes_from.startswith("HOLD H26-002: D26-0031 is in doubt, and not")
    assert plots.state == "ask" and sheet.plots == 0


def test_what_is_known_is_filled_and_proof_is_asked_all_the_same() -> None:
    """Whether forest was cleared, and whether papers are enough, no workshop knows."""
    sheet = sheet_of(EBONY)
    asked = [each.number for each in sheet.woods[0].boxes if each.state == "ask"]

    assert asked == ["(g)", "(h)"]
    assert sheet.asked == 2 and sheet.plots == 3
    assert box(sheet, "country").value == "CM"
    assert box(sheet, "geolocation").value == "L24-011: 3 plots, paper D26-0031"
    assert box(sheet, "time").value == "L24-011: 2023-09-04 to 2023-10-20"
    assert "bois@mbeki-laurent.example" in box(sheet, "supplier").value


@pytest.mark.parametrize(
    ("label", "items", "known", "to_do"),
    [
        ("scientific", {"taxon": "unknown"}, {}, "genus and species"),
        ("scientific", {"taxon": "Diospyros spp."}, {}, "genus and species"),
        ("scientific", {"taxon": "Diospyros"}, {}, "genus and species"),
        ("scientific", {"trade_name": ""}, {}, "common name"),
        ("description", {"form": "unfinished_shaped_parts"}, {}, "chapter 44"),
        ("description", {"form": "other_finished_products"}, {}, "chapter 44"),
        ("quantity", {"mass_mg": None}, {}, "Weigh L24-011-07"),
        ("country", {"origin": None}, {}, "in which country"),
        ("geolocation", {}, {"grown": NOWHERE}, "the plots of L24-011 as GeoJSON"),
        ("geolocation", {"lots": ()}, {}, "for the plots as GeoJSON"),
        ("time", {}, {"grown": NOWHERE}, "when L24-011 was cut"),
        ("supplier", {}, {"suppliers": NOTHING}, "who supplied L24-011"),
        ("supplier", {"lots": ()}, {}, "who supplied it"),
        (
            "supplier",
            {},
            {"suppliers": {"L24-011": replace(SAWYER, email="")}},
            "the e-mail address",
        ),
        (
            "supplier",
            {},
            {"suppliers": {"L24-011": replace(SAWYER, address=(), email="")}},
            "the postal address and the e-mail address",
        ),
        ("cut as", {"held": ()}, {}, "none is held"),
    ],
)
def test_what_is_not_known_is_asked(
    label: str, items: dict[str, Any], known: dict[str, Any], to_do: str
) -> None:
    """Each box says what to do, and invents nothing."""
    found = box(sheet_of(replace(EBONY, **items), **known), label)

    assert found.state == "ask"
    assert to_do in found.comes_from
    assert "unknown" not in found.value


@pytest.mark.parametrize(
    ("customer", "to_do"),
    [
        (None, "to whom it goes"),
        (replace(CUSTOMER, name=""), "to whom it goes"),
        (replace(CUSTOMER, email=""), "for the e-mail address"),
        (replace(CUSTOMER, address=()), "for the postal address"),
    ],
)
def test_a_customer_is_asked_for_what_is_missing(
    customer: Contact | None, to_do: str
) -> None:
    """Name, postal address and e-mail."""
    found = sheet_of(EBONY, customer=customer).customer

    assert found.state == "ask" and to_do in found.comes_from


def test_into_the_union_the_sender_supplies_whoever_imports_it() -> None:
    """Article 9(1)(e) and (f) are told from the importer, who files it there."""
    arrives = replace(CONSIGNMENT, items=(EBONY,), legs=("US", "FR"))
    sheet = due_diligence(
        arrives, customer=CUSTOMER, suppliers={"L24-011": SAWYER}, grown={}
    )
    supplier = box(sheet, "supplier")

    assert supplier.value.startswith("Skerrymoor Fretted Instruments, The Loft")
    assert f"behind it: {SAWYER.name}" in supplier.value
    assert "the e-mail address of the sender" in supplier.comes_from
    assert sheet.customer.state == "ask"
    assert "Ask the importer to whom it is handed on" in sheet.customer.comes_from
    assert sheet.customer.value == f"to {CUSTOMER.name}, who imports it"
    nobody = due_diligence(arrives, customer=None, suppliers={}, grown={})
    assert nobody.customer.value == ""
    assert "behind it" not in box(nobody, "supplier").value


@pytest.mark.parametrize("legs", [("IE", "US"), ("IE", "FR")])
def test_out_of_the_union_and_within_it_the_shop_is_who_files(
    legs: tuple[str, str],
) -> None:
    """Its own supplier is the supplier, its recipient the customer."""
    goes = replace(CONSIGNMENT, items=(EBONY,), legs=legs)
    sheet = due_diligence(
        goes, customer=CUSTOMER, suppliers={"L24-011": SAWYER}, grown={}
    )

    assert box(sheet, "supplier").value.startswith(SAWYER.name)
    assert sheet.customer.value.startswith(CUSTOMER.name)


def test_a_mass_that_was_stated_is_not_called_weighed() -> None:
    """Of what was not made here nobody here weighed anything."""
    stated = replace(EBONY, lots=())

    assert box(sheet_of(EBONY), "quantity").comes_from == "as weighed"
    assert box(sheet_of(stated), "quantity").comes_from == "as stated"
    assert box(sheet_of(stated), "country").comes_from == "as it was described"
    assert box(sheet_of(EBONY), "country").comes_from == "the lot, as it was received"
    both = box(sheet_of(EBONY, stated), "quantity").comes_from
    assert both == "as weighed, or as stated"


def test_a_lot_without_plots_is_named_beside_one_that_has_some() -> None:
    """What is known of one is kept, and the other is asked about."""
    both = replace(EBONY, lots=("L24-011", "L24-012"))
    found = box(sheet_of(both), "geolocation")

    assert found.state == "ask"
    assert found.value.startswith("L24-011: 3 plots")
    assert "the plots of L24-012" in found.comes_from


def test_of_several_countries_it_is_asked_which() -> None:
    """And wood that may be of several is apart from wood of one of them."""
    open_ = replace(EBONY, origin=None, may_be_from=("CM", "GA"))
    sheet = sheet_of(open_, EBONY)
    asked = box(sheet, "country of production")

    assert (asked.state, asked.value) == ("ask", "Cameroon (CM) or Gabon (GA)")
    assert [wood.origin for wood in sheet.woods] == [None, "CM"]


def test_instruments_and_bone_are_not_asked_about() -> None:
    """They are not in Annex I; a shipment of nothing else has no sheet."""
    sheet = due_diligence(CONSIGNMENT, customer=None, suppliers={}, grown={})
    (wood,) = sheet.woods

    assert {each.thing for each in wood.items} == {"L24-011-07"}
    assert sheet.left_out == 2
    with pytest.raises(RefusedError, match="nothing in X26-0412 is wood of chapter 44"):
        sheet_of(*CONSIGNMENT.items[:7])


@pytest.mark.parametrize("form", sorted(FINISHED_FOR_MUSIC))
def test_no_finished_part_is_wood_of_chapter_44(form: str) -> None:
    """Source: Harmonized System 2022, chapter 92."""
    assert form not in WOOD_FORMS
    with pytest.raises(RefusedError, match="not in Annex I"):
        sheet_of(replace(EBONY, form=form))


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["Picea abies", "Acer saccharum"]),
            st.sampled_from(sorted(WOOD_FORMS)),
            st.sampled_from([None, "IT", "NO"]),
            st.integers(10_000, 10**9),
            st.integers(1, 50),
        ),
        min_size=1,
        max_size=10,
    )
)
def test_woods_add_up_to_what_goes(
    given_: list[tuple[str, str, str | None, int, int]],
) -> None:
    """Each species, form and country once, and every milligram in one of them."""
    items = [
        replace(EBONY, taxon=taxon, form=form, origin=origin, mass_mg=mass, pieces=n)
        for taxon, form, origin, mass, n in given_
    ]
    sheet = sheet_of(*items)
    keys = [(wood.taxon, wood.form, wood.origin) for wood in sheet.woods]

    assert len(set(keys)) == len(keys)
    assert sum(wood.mass_mg or 0 for wood in sheet.woods) == sum(
        each.mass_mg or 0 for each in items
    )
    for wood in sheet.woods:
        quantity = next(each for each in wood.boxes if each.number == "(b)").value
        mass = quantities.kilograms(wood.mass_mg or 0, places=3)
        pieces = sum(each.pieces for each in wood.items)

        assert quantity.startswith(f"{mass} net; ")
        assert quantity.endswith(f"{pieces} piece{'s' if pieces > 1 else ''}")
        assert (wood.origin is None) == (
            next(each for each in wood.boxes if each.number == "(c)").state == "ask"
        )
