"""What each sentence of the log says that somebody did, and who may say it instead.

beginning an instrument needs the role lead: ask somebody who has it, flitchbook
person list shows who
"""

from collections.abc import Sequence

# By noun and verb, whatever the version.
DOINGS = {
    "shop.founded": "founding a shop",
    "shop.continued": "going on in a next volume",
    "number.reserved": "keeping numbers free",
    "root.changed": "changing the root keys",
    "person.enrolled": "enrolling somebody",
    "person.key-replaced": "giving somebody a new key",
    "person.erased": "erasing somebody's particulars",
    "role.granted": "giving somebody a role",
    "role.withdrawn": "taking a role back",
    "qualification.granted": "qualifying somebody",
    "qualification.withdrawn": "taking a qualification back",
    "key.enrolled": "giving the shop a key",
    "key.retired": "ending a key",
    "key.compromised": "reporting a key",
    "log.key-replaced": "giving the log a new key",
    "entry.recovered": "quoting a lost entry",
    "entry.affirmed": "affirming an entry",
    "policy.adopted": "adopting a policy",
    "clock.doubted": "doubting the clock",
    "room.measured": "entering the air of a room",
    "room.logged": "entering a room's log",
    "override.given": "overriding a rule",
    "correction.made": "striking an entry",
    "supplier.recorded": "entering a sawyer",
    "document.filed": "filing a paper",
    "document.permit-read": "reading a permit into the record",
    "lot.received": "receiving a lot",
    "lot.paper-added": "joining a paper to a lot",
    "lot.harvest-named": "naming the countries of a harvest",
    "lot.plots-filed": "filing the plots of a lot",
    "board.numbered": "numbering a board",
    "board.measured": "measuring a board",
    "board.weighed": "weighing a board",
    "board.moved": "moving a board",
    "board.photographed": "photographing a board",
    "board.tapped": "tapping a board",
    "board.metered": "putting a meter to a board",
    "board.flexed": "bending a board",
    "board.graded": "grading a board",
    "board.rejected": "rejecting a board",
    "board.matched": "choosing boards that go together",
    "board.plate-graduated": "entering the graduation of a plate",
    "board.split": "sawing a board",
    "board.joined": "gluing boards together",
    "board.allotted": "allotting a board",
    "board.reserved": "reserving a board",
    "board.released": "releasing a board",
    "board.consumed": "using a board up",
    "board.identified": "identifying a board",
    "label.printed": "printing labels",
    "label.replaced": "replacing a label",
    "model.defined": "setting down a model",
    "build.begun": "beginning an instrument",
    "build.step-signed": "signing a step",
    "build.tapped": "tapping a part",
    "build.tag-printed": "printing a build tag",
    "build.ordered": "setting down an order",
    "build.changed": "changing what was promised",
    "build.rework-ordered": "ordering a step to be done again",
    "build.part-scrapped": "scrapping a part",
    "build.concession-given": "letting something pass",
    "build.voided": "giving an instrument up",
    "build.misstamped": "voiding a number that was stamped by mistake",
    "certificate.issued": "issuing a certificate",
    "certificate.printed": "printing a certificate",
    "certificate.withdrawn": "withdrawing a certificate",
    "owner.registered": "registering an owner",
    "owner.transferred": "entering a change of owner",
    "owner.slip-issued": "giving a transfer slip its number",
    "owner.slip-printed": "printing a transfer slip",
    "owner.slip-lost": "entering a lost slip",
    "owner.notice-sent": "entering that a notice was sent",
    "owner.slip-found": "entering that a slip was found",
    "theft.reported": "entering a report of theft",
    "theft.withdrawn": "withdrawing a report of theft",
    "shipment.planned": "planning a shipment",
    "shipment.papers-printed": "printing papers of a shipment",
    "hold.placed": "placing a hold",
    "hold.lifted": "lifting a hold",
    "material.received": "receiving a batch",
    "material.harvest-named": "naming the countries of a harvest",
    "material.paper-added": "joining a paper to a batch",
    "material.finished": "finishing a batch",
    "gauge.listed": "listing a gauge",
    "gauge.calibrated": "entering a calibration",
    "training.begun": "letting somebody learn a work",
    "training.ended": "ending somebody's training",
    "training.skill-checked": "looking at somebody's work",
    "instrument.serviced": "entering a service",
    "instrument.part-removed": "taking a part off",
    "instrument.sent": "sending an instrument out",
    "instrument.returned": "taking an instrument back",
}
LIST = "flitchbook person list shows who"
HOLDS = "flitchbook person list shows who holds what"
# What to do where the log itself says only what stands against it.
NEXT = {
    "nobody qualifies himself": "ask another lead to do it",
    "is held already": f"nothing is left to do, {HOLDS}",
    "is not held": HOLDS,
}


def refusal_words(kind: str, reasons: Sequence[str]) -> str:
    """Say why something may not be said, in the trade's words, and whom to ask.

    kind  of what was to be said, such as build.begun/1
    """
    kind_name = kind.partition("/")[0]
    return "; ".join(_words(kind_name, reason) for reason in reasons)


def _words(kind_name: str, reason: str) -> str:
    rest = reason.removeprefix(f"{kind_name} ")
    if rest != reason:
        whom = "one" if rest.startswith("is for") else "somebody who has it"
        return f"{DOINGS.get(kind_name, kind_name)} {rest}: ask {whom}, {LIST}"
    ways = (do for ending, do in NEXT.items() if reason.endswith(ending))
    return ": ".join([reason, *ways])
