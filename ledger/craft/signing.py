"""The signing policy a shop begins with: which work asks for which qualification."""

from typing import Any

RECEIVE = "receive"
PAPERS = "papers"
SET_UP = "set-up"
INSPECT = "inspect"
# It alone qualifies for no step: its holder signs what is done under supervision.
APPRENTICE = "apprentice"
# The qualifications of a bench-built department, by the work they allow.
BENCH = (
    "plates",
    "brace",
    "bind",
    "necks",
    "frets",
    "finish",
    SET_UP,
    "machine",
    INSPECT,
    APPRENTICE,
)


def first_policy() -> dict[str, Any]:
    """Return the signing policy that a shop adopts when it is opened.

    Wood is received, numbered and labelled by whoever is qualified to receive; that
    person and everybody at the bench weighs, measures, saws and allots it. Steps are
    signed by whoever holds one of the bench's qualifications (which one, the step
    says); papers, owners and shipments are for whoever keeps the papers. The lead may
    do it all.

    Source: common practice, no source.
    """
    lead = {"role": "lead"}
    receive = {"qualification": RECEIVE}
    papers = {"qualification": PAPERS}
    bench = [{"qualification": name} for name in BENCH]
    return {
        "format": "flitchbook-policy/1",
        "id": "first",
        "version": 1,
        "rules": [
            _rule(["lot.*", "board.numbered", "label.printed"], [lead, receive]),
            _rule(
                ["board.*", "room.*", "label.replaced"],
                [lead, receive, *bench],
            ),
            _rule(["supplier.*", "document.*"], [lead, receive, papers]),
            _rule(["correction.*"], [lead, receive, papers, *bench]),
            _rule(["material.*", "gauge.*"], [lead, receive, *bench]),
            _rule(["hold.placed"], [lead, receive, papers, *bench]),
            _rule(["build.ordered"], [lead, papers]),
            _rule(["instrument.*"], [lead, papers, {"qualification": SET_UP}]),
            _rule(["build.step-signed", "build.tapped"], [lead, *bench]),
            _rule(["build.tag-printed"], [lead, receive, papers, *bench]),
            _rule(["certificate.printed", "owner.*", "shipment.*"], [lead, papers]),
        ],
    }


def qualifications_in(policy: dict[str, Any] | None) -> frozenset[str]:
    """Return the qualifications that a signing policy names.

    Source: the shop's policy; nature sets none.
    """
    rules = policy["rules"] if policy else []
    abilities = (ability for rule in rules for ability in rule["any_of"])
    return frozenset(a["qualification"] for a in abilities if "qualification" in a)


def _rule(kinds: list[str], any_of: list[dict[str, str]]) -> dict[str, Any]:
    return {"any_of": any_of, "approvals": 0, "kinds": kinds}
