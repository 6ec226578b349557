"""The house's limits: read whole, or refused in one sentence that says why."""

import json
from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.craft.policy import (
    MEMBERS,
    MOST_DAYS,
    MOST_WEIGHINGS,
    binomial,
    first_house_policy,
    house_policy,
    is_house_policy,
)
from ledger.craft.reading import LARGEST
from ledger.errors import RefusedError

DAYS = st.integers(0, MOST_DAYS)
PPM = st.integers(0, LARGEST)
RESTS = st.tuples(DAYS, DAYS).map(sorted)


def changed(*path: str | int, to: object) -> dict[str, Any]:
    """Return the first policy with one value in it changed."""
    text = deepcopy(first_house_policy())
    inner: Any = text
    for step in path[:-1]:
        inner = inner[step]
    inner[path[-1]] = to
    return text


def test_the_first_limits_are_those_of_the_trade() -> None:
    """Spruce 90 days, rosewood and ebony two years, the rest one; three weighings."""
    policy = house_policy(first_house_policy())
    rests = {
        species: (rest.least_days, rest.preferred_days)
        for species in ("Picea abies", "Dalbergia latifolia", "Acer pseudoplatanus")
        for rest in [policy.rest_for(species)]
    }

    assert rests == {
        "Picea abies": (90, 180),
        "Dalbergia latifolia": (730, 1095),
        "Acer pseudoplatanus": (365, 730),
    }
    assert (policy.weighings, policy.apart_days, policy.within_ppm) == (3, 7, 2_000)
    assert (policy.name, policy.balance_ppm) == ("first 1", 30_000)


@pytest.mark.parametrize(
    ("species", "days"),
    [
        ("Picea abies", 30),
        ("Picea sitchensis", 90),
        ("picea abies", 30),
        ("PICEA ABIES", 30),
        ("Picea  abies (L.) H.Karst.", 30),
        ("Picea × lutzii", 40),
        ("Picea x lutzii", 40),
        ("Picea", 90),
        ("Piceae abies", 365),
        ("unknown", 365),
        ("", 365),
    ],
)
def test_a_species_rests_as_it_says_else_as_its_genus(species: str, days: int) -> None:
    """However the name is written, with its author, its cross, or shouted."""
    text = first_house_policy()
    for name, least in (("Picea abies", 30), ("Picea × lutzii", 40)):
        text["rest"].append(
            {"species": [name], "least_days": least, "preferred_days": 60}
        )

    assert house_policy(text).rest_for(species).least_days == days


@given(st.text())
def test_a_name_brought_to_two_words_stays_so(name: str) -> None:
    """Genus and species of genus and species are the same two words."""
    assert binomial(binomial(name)) == binomial(name)
    assert len(binomial(name).split()) <= 2


@given(RESTS, RESTS, st.integers(0, MOST_WEIGHINGS), DAYS, PPM, st.tuples(PPM, PPM))
def test_limits_are_read_as_they_stand(
    some: list[int],
    others: list[int],
    weighings: int,
    apart: int,
    within: int,
    humidity: tuple[int, int],
) -> None:
    """Every number comes out where it was written."""
    text = first_house_policy() | {
        "rest": [
            {"species": ["Picea"], "least_days": some[0], "preferred_days": some[1]}
        ],
        "rest_of_others": {"least_days": others[0], "preferred_days": others[1]},
        "steady": {
            "weighings": weighings,
            "apart_days": apart,
            "within_ppm": within,
        },
        "room": {
            "least_humidity_ppm": min(humidity),
            "most_humidity_ppm": max(humidity),
            "fresh_days": apart,
        },
    }
    policy = house_policy(json.loads(json.dumps(text)))

    assert policy.rest_for("Picea abies").preferred_days == some[1]
    assert policy.rest_for("Acer rubrum").least_days == others[0]
    assert (policy.weighings, policy.apart_days) == (weighings, apart)
    assert (policy.within_ppm, policy.fresh_days) == (within, apart)
    assert policy.least_humidity_ppm <= policy.most_humidity_ppm


NUMBERS = [
    (name, member) for name in MEMBERS for member in MEMBERS[name] if name != "rest"
]


@pytest.mark.parametrize(("name", "member"), NUMBERS)
@pytest.mark.parametrize(
    "value", [True, False, -1, 1.0, 0.5, "7", None, [], {}, LARGEST + 1, 10**99]
)
def test_every_limit_is_a_whole_number(name: str, member: str, value: object) -> None:
    """Neither a yes, nor a text, nor half of one, nor one that nobody lives to see."""
    with pytest.raises(RefusedError, match=f"{member} is a whole number from 0 to"):
        house_policy(changed(name, member, to=value))


@pytest.mark.parametrize("name", ["rest", *MEMBERS, "id", "version"])
@pytest.mark.parametrize("value", [None, [], "x\ny", 3.5, True, {"a\nb": 1}])
def test_every_member_has_its_form(name: str, value: object) -> None:
    """The refusal is one line, and not longer than anybody reads."""
    if (name, value) == ("rest", []):
        assert house_policy(changed(name, to=value)).rest == ()
        return
    with pytest.raises(RefusedError) as caught:
        house_policy(changed(name, to=value))

    said = str(caught.value)
    assert "\n" not in said and len(said) < 200


@pytest.mark.parametrize("name", first_house_policy())
def test_no_member_is_left_out(name: str) -> None:
    """What is missing is named, whether it is a word or a group."""
    text = first_house_policy()
    del text[name]
    with pytest.raises(RefusedError, match=name):
        house_policy(text)


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        (("more",), 1, "look at 'more'"),
        (("ste\nady",), 1, r"look at 'ste\\nady'"),
        (("s" * 9_000,), 1, "look at 's{59}…'"),
        (("steady", "more"), 1, "the policy's steady has weighings, apart_days"),
        (("rest", 0, "more"), 1, "a group that rests has species"),
        (("id",), "First", "no name such as first"),
        (("id",), "first\n", "no name such as first"),
        (("version",), 0, "version is a whole number from 1"),
        (("rest", 0), "Picea", "a group that rests has species"),
        (("rest", 0, "species"), "Picea", "are a list of names"),
        (("rest", 0, "species"), [], "are a list of names"),
        (("rest", 0, "species"), [1], "1 is no genus or species"),
        (("rest", 0, "species"), ["picea"], "'picea' is no genus or species"),
        (("rest", 0, "species"), ["Picea "], "'Picea ' is no genus or species"),
        (("rest", 0, "species"), ["Fir\u202e"], "no genus or species"),
        (("rest", 0, "species"), ["Picea", "Picea"], "Picea is named twice"),
        (("rest", 1, "species"), ["Picea"], "Picea is named twice"),
        (("rest", 0, "least_days"), 181, "181 days cannot better rest 180"),
        (("rest_of_others", "least_days"), 731, "731 days cannot better rest 730"),
        (("room", "least_humidity_ppm"), 500_001, "least humidity is above its most"),
        (("steady", "weighings"), 21, "from 0 to 20, not 21"),
        (("steady", "apart_days"), 36_526, "from 0 to 36525, not 36526"),
        (("format",), "flitchbook-policy/1", "has the format flitchbook-house/1"),
    ],
)
def test_limits_that_do_not_fit_are_refused(
    path: tuple[str | int, ...], value: object, said: str
) -> None:
    """What was meant is never guessed; the sentence names the place."""
    with pytest.raises(RefusedError, match=said):
        house_policy(changed(*path, to=value))


def test_a_number_too_long_to_be_written_is_refused() -> None:
    """It has more digits than any refusal may quote."""
    with pytest.raises(RefusedError, match="not a number as large as that"):
        house_policy(changed("version", to=10**5000))


@pytest.mark.parametrize("text", [None, [], "first", 1, {}, {"format": ["x"]}])
def test_what_is_no_policy_of_the_house_is_seen(text: object) -> None:
    """A policy of signing is another thing, and so is anything else."""
    assert not is_house_policy(text)
    with pytest.raises(RefusedError, match="has the format"):
        house_policy(text)
