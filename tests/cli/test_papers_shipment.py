"""The facts of a shipment on its materials list: places, sentences, whom to ask."""

from dataclasses import replace

import pytest

from cli.papers_shipment import _what, materials_paper
from cli.shipment_lines import for_reading
from labels import materials
from labels.materials_facts import MaterialsPaper
from labels.materials_table import listing_lines
from ledger.acts import shipments
from ledger.acts.disputes import report
from ledger.acts.freight import Goods
from ledger.acts.heads import head_now, sign_head
from ledger.acts.shipments import Journey
from ledger.acts.signing import find_person
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.words import ten_words
from tests.labels import reading
from tests.shops import certified, certified_folder, loft, staffed_folder
from tests.skerrymoor import NECK, Loft

__all__ = ["certified", "certified_folder", "loft", "staffed_folder"]


def paper_of(
    loft: Loft,
    *legs: str,
    species: str = "Dalbergia latifolia",
    form: str = "sawn",
    recipient: str = "",
) -> MaterialsPaper:
    """Return the list of a board of a species that is sold on a way."""
    lot = loft.receive(species=species, form=form, boards=1)
    made = shipments.plan(
        loft.shop,
        goods=Goods(boards=tuple(loft.number(lot, NECK))),
        journey=Journey(legs=legs, moves_on="2026-11-23", purpose="sale"),
        hands=loft.hands("12"),
    )
    return drawn_of(loft, made, recipient)


def drawn_of(loft: Loft, made: shipments.Plan, recipient: str = "") -> MaterialsPaper:
    """Return the list of a shipment under the head of this moment."""
    return materials_paper(
        loft.shop,
        made,
        head=head_now(loft.shop),
        signer=find_person(loft.shop, "12"),
        recipient=recipient,
        sender="",
    )


@pytest.mark.parametrize(
    ("legs", "said"),
    [
        (
            ("GB", "US"),
            "Ask before it moves: the Management Authorities of the United Kingdom and "
            "the United States; USDA-APHIS, or a customs broker.",
        ),
        (
            ("GB", "AE", "JP"),
            "Ask before it moves: the Management Authorities of the United Kingdom, "
            "the United Arab Emirates and Japan.",
        ),
    ],
)
def test_whom_to_ask_is_one_sentence(
    certified: Loft, legs: tuple[str, ...], said: str
) -> None:
    """With its articles, capitalised and closed."""
    paper = paper_of(certified, *legs, species="Picea abies")

    assert paper.whom_to_ask == said


def test_an_office_of_another_law_stands_beside_the_authorities(
    certified: Loft,
) -> None:
    """Once, though two rules name it, one of them with whom else may be asked."""
    said = paper_of(certified, "GB", "US").whom_to_ask

    assert said.endswith("the United States; USDA-APHIS, or a customs broker.")


def test_wood_in_a_form_nobody_knows_is_asked_about_at_home(certified: Loft) -> None:
    """One authority alone is no authorities."""
    said = paper_of(certified, "GB", "JP", form="half carved").whom_to_ask

    assert said == (
        "Ask before it moves: the CITES Management Authority of your country."
    )


def test_every_row_is_told_in_whole_sentences(certified: Loft) -> None:
    """Capitalised and closed, each once."""
    paper = paper_of(certified, "GB", "NL")
    (row,) = paper.rows

    assert row.words.startswith("Annotation #15, text of 2019 covers sawn wood: all ")
    assert "Re-export certificate from the Management Authority of the United" in (
        row.words
    )
    assert ".." not in row.words and row.words.endswith(".")
    for rule in paper.rules:
        assert rule.rule[0].isupper() and rule.rule.endswith(".")


def test_a_rule_says_how_far_its_row_was_checked(certified: Loft) -> None:
    """Behind its sources."""
    paper = paper_of(certified, "GB", "US")

    assert [rule.source.partition(". Checked ")[2] for rule in paper.rules] == [
        "against its sources.",
        "in part against its sources.",
        "against its sources.",
    ]


def test_old_and_new_wood_are_told_apart_by_their_days(certified: Loft) -> None:
    """A row for each, with its own grams; of what nothing proves it says so."""
    told = {"species": "Dalbergia latifolia", "boards": 1}
    old = {"is_opening": True, "supplier": None, "evidence": "invoice"}
    unproven = old | {"evidence": "none", "documents": (), "harvested_in": None}
    lots = [
        certified.receive(**told, **old, received_on="2010-08-07", harvested_in="IN"),
        certified.receive(**told, **old, received_on="2011-01-03", harvested_in="IN"),
        certified.receive(**told, harvested_in="IN"),
        certified.receive(**told, **unproven),
    ]
    boards = [certified.number(lot, NECK)[0] for lot in lots]
    made = shipments.plan(
        certified.shop,
        goods=Goods(boards=tuple(boards)),
        journey=Journey(legs=("GB", "US"), moves_on="2026-11-23", purpose="sale"),
        hands=certified.hands("12"),
    )
    rows = drawn_of(certified, made).rows
    words = [
        "before the first listing of 2017-01-02. Acquired 2010-08-07 to 2011-01-03.",
        "not before the first listing of 2017-01-02. Acquired 2026-01-05.",
        "Acquired on no proven day.",
    ]

    assert [row.harvest for row in rows] == ["IN", "IN", "not known"]
    each_mg = NECK.masses_mg[0]
    assert [row.mass_mg for row in rows] == [2 * each_mg, each_mg, each_mg]
    for row, said in zip(rows, words, strict=True):
        assert said in row.words


def test_an_address_has_no_article(certified: Loft) -> None:
    """A place stands alone there, with its letters."""
    paper = paper_of(certified, "GB", "NL", "US")

    assert paper.sent_from == "United Kingdom (GB)"
    assert paper.sent_to == "United States (US) via Netherlands (NL)"


@pytest.mark.parametrize(
    ("legs", "sent_to"),
    [
        (("GB", "US", "GB"), "United States (US), and back"),
        (
            ("GB", "FR", "US", "GB"),
            "country to be added by hand: France (FR) or United States (US), and back",
        ),
    ],
)
def test_what_comes_home_is_sent_abroad_and_back(
    certified: Loft, legs: tuple[str, ...], sent_to: str
) -> None:
    """The country at home stands beside no address abroad."""
    assert paper_of(certified, *legs).sent_to == sent_to


def test_a_country_that_the_address_names_is_the_recipient_s(certified: Loft) -> None:
    """The others are those that it passes."""
    hall = "Ostrander Hall, New York, United States"
    paper = paper_of(certified, "GB", "FR", "US", "GB", recipient=hall)

    assert paper.recipient == "Ostrander Hall"
    assert paper.sent_to == ("New York, United States (US) via France (FR), and back")


def test_many_things_are_counted_where_they_cannot_all_be_named(
    certified: Loft,
) -> None:
    """The head has three lines, and the list is drawn whatever leaves together."""
    lot = certified.receive(species="Picea abies", boards=9)
    boards = [certified.number(lot, NECK)[0] for _ in range(9)]
    made = shipments.plan(
        certified.shop,
        goods=Goods(serials=("26-0001-8",), boards=tuple(boards)),
        journey=Journey(legs=("GB", "US"), moves_on="2026-11-23", purpose="sale"),
        hands=certified.hands("12"),
    )
    paper = drawn_of(certified, made)

    assert paper.what == (
        f"1 instrument, 26-0001-8; 9 pieces of wood, {boards[0]} and 8 more"
    )
    assert materials.draw(paper, size="Letter").startswith(b"%PDF")


def test_every_serial_is_named_as_far_as_there_is_room(certified: Loft) -> None:
    """Customs look for each; where not all go in, the first and how many more."""
    made = shipments.foresee(
        certified.shop,
        goods=Goods(serials=("26-0001-8",)),
        journey=Journey(legs=("GB", "US"), moves_on="2026-11-23", purpose="sale"),
    )
    serials = tuple(f"26-{n:04}-8" for n in range(1, 200))

    assert _what(replace(made, goods=Goods(serials=serials[:9]))) == (
        f"9 instruments, {', '.join(serials[:9])}"
    )
    assert _what(replace(made, goods=Goods(serials=serials))) == (
        "199 instruments, 26-0001-8 and 198 more"
    )


def test_the_checkpoint_on_the_list_is_the_log_s(certified: Loft) -> None:
    """Its words are those of the head it was drawn under, and they are on the paper."""
    paper = paper_of(certified, "GB", "US")
    head = parse_checkpoint(parse_note(sign_head(certified.shop)))
    pages = materials.draw(paper)
    text = " ".join(
        word
        for page in range(reading.pages(pages))
        for word in reading.text(pages, page).split()
    )

    assert (paper.size, paper.ten_words) == (head.size, ten_words(head.root))
    assert " ".join(("checkpoint", str(head.size), *paper.ten_words)) in text


def test_what_nobody_read_names_no_newest_source(certified: Loft) -> None:
    """Its row says in place of it that there is none."""
    paper = paper_of(certified, "GB", "US", species="Quercus robur")

    assert paper.rules[0].dates == "compiled 2026-11-24, newest source none"
    assert paper.rules[0].source == (
        "no printed source [M]. Not re-checked against the printed source."
    )


def test_listed_wood_leads_and_mere_age_comes_last(certified: Loft) -> None:
    """Whatever the order in which it is on record; papers of other laws come first."""
    woods = ("Picea abies", "Acer pseudoplatanus", "Dalbergia latifolia")
    lots = [certified.receive(species=name, boards=1) for name in woods]
    made = shipments.plan(
        certified.shop,
        goods=Goods(boards=tuple(certified.number(lot, NECK)[0] for lot in lots)),
        journey=Journey(
            legs=("GB", "US"), moves_on="2028-11-23", purpose="sale", hts_number="9202"
        ),
        hands=certified.hands("12"),
    )
    paper = drawn_of(certified, made)

    assert paper.rows[0].species == "Dalbergia latifolia" and not paper.rows[0].aged
    assert {row.species for row in paper.rows[1:]} == set(woods[:2])
    for row in paper.rows[1:]:
        assert row.answer == "ask" and "may have changed before" in row.aged
        assert "may have changed" not in row.words and "file" in row.words
    assert [line.taxon for line in for_reading(made.found.lines)] == [
        row.species for row in paper.rows
    ]
    assert any("Lacey Act declaration" in said for said in paper.beside)
    assert [said.partition(":")[0] for said in paper.beside] == list(
        dict.fromkeys(said.partition(":")[0] for said in paper.beside)
    )


def test_wood_of_a_population_that_is_not_listed_says_which_is(certified: Loft) -> None:
    """Mahogany of Fiji: the species is in Appendix II, of the Neotropics."""
    lot = certified.receive(
        species="Swietenia macrophylla", boards=1, harvested_in="FJ"
    )
    made = shipments.foresee(
        certified.shop,
        goods=Goods(boards=tuple(certified.number(lot, NECK))),
        journey=Journey(legs=("GB", "US"), moves_on="2026-11-23", purpose="sale"),
    )
    (row,) = drawn_of(certified, made).rows

    assert row.listing == "elsewhere: App. II, the Neotropics"
    assert len(listing_lines(row.listing)[0]) == 3


@pytest.mark.parametrize(
    ("species", "listing"),
    [
        ("Zelkova serrata", "not looked up: no row for this name"),
        ("Quercus robur", "not looked up: no source read"),
        ("Picea abies", "no listing found"),
    ],
)
def test_no_search_is_claimed_that_nobody_made(
    certified: Loft, species: str, listing: str
) -> None:
    """And nobody at the customs is told how to type a name."""
    (row,) = paper_of(certified, "GB", "JP", species=species).rows

    assert row.listing == listing
    assert "write genus" not in row.words and "from memory" not in row.words


def test_a_plan_that_is_in_dispute_itself_is_named(certified: Loft) -> None:
    """The thief of a lead's key may have let something go."""
    made = shipments.plan(
        certified.shop,
        goods=Goods(serials=("26-0001-8",)),
        journey=Journey(legs=("GB", "US"), moves_on="2026-11-23", purpose="sale"),
        hands=certified.hands(),
    )
    planned = certified.shop.store.head().size - 1
    before = drawn_of(certified, made).beside
    lead, hands = certified.person("01"), certified.hands("12", "roots")
    report(certified.shop, lead, str(planned), hands)
    first, *others = drawn_of(certified, made).beside

    assert first == (
        f"Entry {planned} is disputed: a key that said it may have been in other "
        f"hands, and nobody has stood by it since."
    )
    assert tuple(others) == before
