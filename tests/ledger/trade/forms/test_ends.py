"""Who imports where: one way, out and home, and through several countries."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from ledger.errors import RefusedError
from ledger.trade.consignment import Consignment, Party
from ledger.trade.forms import ends
from ledger.trade.forms.cites import cites_worksheet
from ledger.trade.forms.declaration import declaration_worksheet
from ledger.trade.forms.musical import musical_worksheet
from ledger.trade.forms.union import union_worksheet
from ledger.trade.forms.worksheet import Worksheet
from tests.ledger.trade.forms.samples import (
    BLANK,
    OLD,
    SALE,
    TOUR,
    box,
    every_box,
    with_items,
)

SHOP = Party(name="Skerrymoor", address=("Harbour Road 1", "Port Anslow"), country="GB")
HALL = Party(name="Ostrander Hall", address=("57 Fulton Row", "New York"), country="US")
NOWHERE = replace(HALL, country="")
PAPERS = ("re-export certificate", "import permit", "EU import permit")
WOOD = replace(BLANK, documents=PAPERS, appendix="I", annex="A")
AT_HALL = "Ostrander Hall, 57 Fulton Row, New York"
AT_SHOP = "Skerrymoor, Harbour Road 1, Port Anslow"


def sent(way: str, recipient: Party = HALL, **changes: object) -> Consignment:
    """Return blanks of Appendix I on a way, from the shop to a hall."""
    legs = tuple(way.split())
    sender = replace(SHOP, country=legs[0])
    item = replace(WOOD, **changes)  # type: ignore[arg-type]  # fields of an item
    return with_items(SALE, item, legs=legs, sender=sender, recipient=recipient)


def told(sheet: Worksheet, form: int, *numbers: str) -> list[tuple[str, str]]:
    """Return value and state of boxes of a form."""
    boxes = [box(sheet, number, form=form) for number in numbers]
    return [(each.value, each.state) for each in boxes]


@pytest.mark.parametrize("way", ["GB US", "GB US GB"])
def test_whoever_receives_abroad_imports_there(way: str) -> None:
    """One way, and on the way out of a tour: the country is that of the address."""
    sheet = cites_worksheet(sent(way))

    assert sheet.forms[0].kind == "re-export certificate"
    assert told(sheet, 0, "3", "3a") == [
        (f"{AT_HALL}, United States", "filled"),
        ("United States (US)", "filled"),
    ]
    assert "the United Kingdom" in box(sheet, "6").comes_from


def test_each_country_gives_its_own_permit_for_its_own_leg() -> None:
    """Out to the hall, and home, where the shop imports and the hall exports."""
    sheet = cites_worksheet(sent("GB US GB"))
    out, home = 1, 2

    assert [form.kind for form in sheet.forms[1:]] == [
        "import permit of the United States",
        "import permit of the United Kingdom",
    ]
    assert told(sheet, out, "3", "3a", "4") == [
        (f"{AT_HALL}, United States", "filled"),
        ("United States (US)", "filled"),
        (f"{AT_SHOP}, United Kingdom", "filled"),
    ]
    assert told(sheet, home, "3", "3a", "4") == [
        (f"{AT_SHOP}, United Kingdom", "filled"),
        ("United Kingdom (GB)", "filled"),
        (f"{AT_HALL}, United States", "filled"),
    ]
    givers = [box(sheet, "6", form=form).comes_from for form in (out, home)]
    assert "of the United States" in givers[0] and "of the United Kingd" in givers[1]
    assert "when the United States gives it" in box(sheet, "12a", form=home).comes_from


@pytest.mark.parametrize(
    ("way", "changes", "countries"),
    [
        # Great Britain asks for it of Annex B as well, the United States do not.
        ("GB US GB", {"appendix": "II", "annex": "B"}, ["United Kingdom (GB)"]),
        ("US GB US", {"appendix": "II", "annex": "B"}, ["United Kingdom (GB)"]),
        ("US JP US", {}, ["Japan (JP)", "United States (US)"]),
        ("GB US JP", {}, ["United States (US)", "Japan (JP)"]),
        ("FR US FR", {}, ["United States (US)"]),
        # On a way into one country the determination has said it all.
        ("GB JP", {"appendix": "II", "annex": "B"}, ["Japan (JP)"]),
    ],
)
def test_a_permit_is_of_each_country_that_asks_for_it(
    way: str, changes: dict[str, str], countries: list[str]
) -> None:
    """By the law that the determination goes by."""
    sheet = cites_worksheet(sent(way, NOWHERE, **changes))
    found = [
        box(sheet, "3a", form=number).value
        for number, form in enumerate(sheet.forms)
        if form.kind.startswith("import permit")
    ]

    assert found == countries


@pytest.mark.parametrize(
    ("way", "stop", "last"),
    [("GB US CA", "United States", "Canada"), ("GB JP US", "Japan", "United States")],
)
def test_a_country_on_the_way_is_a_stop(way: str, stop: str, last: str) -> None:
    """As it is for the plan: each paper is for the leg that leaves or enters it."""
    there = way.split()[-1]
    sheet = cites_worksheet(sent(way, replace(HALL, country=there)))
    out, into, end = range(3)

    assert told(sheet, out, "3", "3a") == [
        ("", "ask"),
        (f"{stop} ({way.split()[1]})", "filled"),
    ]
    assert box(sheet, "3").comes_from.endswith(f"importer in {ends_words(stop)}")
    assert sheet.forms[into].kind == f"import permit of {ends_words(stop)}"
    assert told(sheet, into, "4")[0] == (f"{AT_SHOP}, United Kingdom", "filled")
    assert told(sheet, end, "3", "3a", "4") == [
        (f"{AT_HALL}, {last}", "filled"),
        (f"{last} ({there})", "filled"),
        ("", "ask"),
    ]


def ends_words(country: str) -> str:
    """Return a country as a sentence names it."""
    return f"the {country}" if country.startswith("United") else country


def test_the_first_paper_of_a_way_through_the_union_is_for_the_union() -> None:
    """Whoever receives in the United States imports nothing in the Netherlands."""
    sheets = [cites_worksheet(sent("GB NL US")), union_worksheet(sent("GB NL US"))]

    assert told(sheets[0], 0, "3", "3a") == [
        ("", "ask"),
        ("Netherlands (NL)", "filled"),
    ]
    assert told(sheets[1], 0, "1", "4", "5") == [
        (f"{AT_SHOP}, United Kingdom", "filled"),
        ("United Kingdom (GB)", "filled"),
        ("Netherlands (NL)", "filled"),
    ]


@pytest.mark.parametrize(
    ("country", "out", "back", "exporter"),
    [
        ("US", (f"{AT_HALL}, United States", "filled"), ("", "ask"), AT_HALL),
        ("FR", ("", "ask"), (f"{AT_HALL}, France", "filled"), ""),
        ("", (AT_HALL, "ask"), (AT_HALL, "ask"), ""),
    ],
)
def test_what_comes_home_to_another_member_of_the_union_is_of_two_legs(
    country: str, out: tuple[str, str], back: tuple[str, str], exporter: str
) -> None:
    """One out of the Union and one into it; who imports is known on one of them."""
    sheet = union_worksheet(sent("DE US FR", replace(HALL, country=country)))

    assert [form.kind for form in sheet.forms] == [
        "re-export certificate",
        "EU import permit",
    ]
    assert told(sheet, 0, "3", "4", "5") == [
        out,
        ("Germany (DE)", "filled"),
        ("United States (US)", "filled"),
    ]
    assert told(sheet, 1, "3", "4", "5") == [
        back,
        ("United States (US)", "filled"),
        ("France (FR)", "filled"),
    ]
    assert box(sheet, "1", form=1).value.startswith(exporter)
    assert box(sheet, "1", form=1).state == ("filled" if exporter else "ask")
    assert box(sheet, "18", form=1).value == "United States (US)"


def test_of_several_countries_the_importer_s_is_asked() -> None:
    """No country stands beside the address; the first leg is known."""
    sheet = cites_worksheet(sent("GB FR US GB", NOWHERE))

    assert told(sheet, 0, "3", "3a") == [(AT_HALL, "ask"), ("France (FR)", "filled")]
    assert box(sheet, "3").comes_from == "whether the importer is in France"


def test_of_several_countries_one_that_was_said_is_written() -> None:
    """On the paper of the leg that enters it, and on no other."""
    sheet = cites_worksheet(sent("GB FR US GB"))
    into = next(
        number
        for number, form in enumerate(sheet.forms)
        if form.kind == "import permit of the United States"
    )

    assert told(sheet, 0, "3", "3a") == [("", "ask"), ("France (FR)", "filled")]
    assert told(sheet, into, "3", "3a", "4") == [
        (f"{AT_HALL}, United States", "filled"),
        ("United States (US)", "filled"),
        ("", "ask"),
    ]


def test_one_who_lives_elsewhere_imports_nothing_there() -> None:
    """Neither an owner at home nor a hall in another country of the way."""
    owner = replace(SHOP, name="Rousset", country="GB")
    sheets = [cites_worksheet(sent("GB US GB", owner))]
    sheets.append(union_worksheet(sent("GB FR US GB")))
    found = [box(sheet, "3") for sheet in sheets]

    assert [(each.value, each.state) for each in found] == [("", "ask")] * 2
    assert [each.comes_from for each in found] == [
        "name and address of the importer in the United States",
        "name and address of the importer in France",
    ]
    assert told(sheets[1], 0, "5") == [("France (FR)", "filled")]


@pytest.mark.parametrize(
    ("way", "recipient", "importer", "country", "start"),
    [
        ("US FR", "FR", AT_HALL, "France (FR)", "United States (US)"),
        ("US FR US", "FR", AT_HALL, "France (FR)", "United States (US)"),
        ("FR US FR", "US", AT_SHOP, "France (FR)", "United States (US)"),
        ("DE US EU", "US", AT_SHOP, "Germany (DE)", "United States (US)"),
        ("FR US DE FR", "US", AT_SHOP, "France (FR)", "United States (US)"),
    ],
)
def test_the_union_s_permit_is_for_the_leg_that_enters_it(
    way: str, recipient: str, importer: str, country: str, start: str
) -> None:
    """The shop imports what comes home; whoever sends it back exports it."""
    there = replace(HALL, country=recipient)
    sheet = union_worksheet(sent(way, there, documents=("EU import permit",)))
    (form,) = sheet.forms

    assert form.kind == "EU import permit"
    assert box(sheet, "3").value.startswith(importer)
    assert (box(sheet, "5").value, box(sheet, "4").value) == (country, start)
    exporter = AT_SHOP if importer == AT_HALL else AT_HALL
    assert box(sheet, "1").value.startswith(exporter)
    assert place_of(country) in box(sheet, "7").comes_from


def place_of(country: str) -> str:
    """Return a country without its letters."""
    return country.partition(" (")[0]


def test_two_members_of_the_union_are_asked_about() -> None:
    """The authority of either may give the permit."""
    sheet = union_worksheet(sent("GB FR DE GB", NOWHERE))

    assert told(sheet, 0, "3", "5") == [(AT_HALL, "ask"), ("", "ask")]
    assert box(sheet, "7").comes_from == (
        "the Management Authority of France or Germany"
    )


def test_the_union_is_entered_twice_on_some_ways() -> None:
    """Each time with a permit of its own."""
    sheet = union_worksheet(sent("US FR GB DE US", NOWHERE))

    assert [form.kind for form in sheet.forms] == [
        "EU import permit of France",
        "EU import permit of Germany",
    ]
    assert told(sheet, 0, "3", "5") == [(AT_HALL, "ask"), ("France (FR)", "filled")]
    assert box(sheet, "3").comes_from == "whether the importer is in France"


def test_of_the_union_alone_the_member_state_is_asked() -> None:
    """The Union gives no permits; unless the address says which of them does."""
    somewhere = union_worksheet(sent("US EU", replace(HALL, country="EU")))
    in_france = union_worksheet(sent("US EU", replace(HALL, country="FR")))

    assert box(somewhere, "5").comes_from == "which member State of the Union"
    assert "Authority of a member State of the Un" in box(somewhere, "7").comes_from
    assert box(in_france, "5").value == "France (FR)"
    assert "Authority of France" in box(in_france, "7").comes_from


def test_what_leaves_the_union_is_for_a_country_outside_of_it() -> None:
    """A member that it passes through first is none."""
    sheet = union_worksheet(sent("FR DE US FR", NOWHERE))

    assert sheet.forms[0].kind == "re-export certificate"
    assert told(sheet, 0, "3", "5") == [
        (AT_HALL, "ask"),
        ("United States (US)", "filled"),
    ]


@pytest.mark.parametrize(
    ("way", "recipient", "value", "state", "words"),
    [
        ("GB US", HALL, HALL.name, "filled", "the recipient of the shipment"),
        ("GB US GB", HALL, HALL.name, "filled", "the recipient of the shipment"),
        ("GB FR US GB", HALL, HALL.name, "filled", "the recipient of the shipment"),
        ("GB FR US GB", NOWHERE, HALL.name, "ask", "is in the United States: it goes"),
        # What only passes through, or stays elsewhere, is imported by somebody else.
        ("GB US JP", replace(HALL, country="JP"), "", "ask", "name in the United"),
        ("GB FR US GB", replace(HALL, country="FR"), "", "ask", "name in the United"),
        ("US FR US", replace(HALL, country="FR"), SHOP.name, "filled", "comes home"),
        ("US FR CA US", NOWHERE, SHOP.name, "filled", "the shop itself"),
    ],
)
def test_the_united_states_declaration_is_for_their_own_leg(
    way: str, recipient: Party, value: str, state: str, words: str
) -> None:
    """Importer and consignee are whoever receives it there."""
    sheet = declaration_worksheet(sent(way, recipient))

    for number, part in (("6", "importer"), ("8", "consignee")):
        found = box(sheet, number)
        assert (found.value, found.state) == (value, state)
        assert words in found.comes_from
        assert state == "filled" or f"the {part}" in found.comes_from
    address = {HALL.name: HALL.address, SHOP.name: SHOP.address}.get(value, ())
    assert [box(sheet, each).value for each in ("7", "9")] == [", ".join(address)] * 2


def test_an_address_that_nobody_said_is_asked() -> None:
    """Also of the shop itself, to which it comes home."""
    bare = replace(sent("US FR US"), sender=replace(SHOP, address=(), country="US"))
    found = box(declaration_worksheet(bare), "7")

    assert (found.value, found.state) == ("", "ask")
    assert found.comes_from == "the importer's address in the United States"


def test_what_never_leaves_the_united_states_is_not_declared() -> None:
    """From one State to another it enters nothing."""
    with pytest.raises(RefusedError, match="it does not enter the United States"):
        declaration_worksheet(sent("US US"))


def test_canadian_ports_are_for_what_comes_from_there() -> None:
    """Home from Canada as well as out of it (50 CFR 24.12)."""
    found = [
        next(note for note in declaration_worksheet(sent(way)).notes if "port:" in note)
        for way in ("CA US", "US CA US", "US FR US")
    ]

    assert found[0] == found[1] != found[2]


@pytest.mark.parametrize("way", ["US FR", "US FR US", "US FR JP US"])
def test_an_instrument_certificate_names_no_importer(way: str) -> None:
    """It is its owner's, who goes with it; whoever receives stands nowhere on it."""
    goes = replace(TOUR, legs=tuple(way.split()), items=(OLD,), recipient=HALL)
    said = [each.value + each.comes_from for each in every_box(musical_worksheet(goes))]

    assert not any("Ostrander" in text or "importer" in text for text in said)


@pytest.mark.parametrize("turned", [ends.leaving, lambda c: ends.entering(c, ("US",))])
def test_one_way_nothing_is_turned(
    turned: Callable[[Consignment], Consignment],
) -> None:
    """A paper of a shipment from one country to another is for all of it."""
    whole = sent("GB US")

    assert turned(whole) == whole
