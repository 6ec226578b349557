"""Words of the record that papers for owners repeat, as the catalogues have them.

They are those of the shipped models, of the route and of the bench. A shop's own words
are none of them, and are printed as the shop wrote them.
"""

import re
from collections.abc import Sequence

from labels.tongue import Tongue, term

KINDS = (
    term("arch-top guitar"),
    term("flat-top guitar"),
    term("solid-body guitar"),
)
# What shops call theirs besides.
OTHER_KINDS = (
    term("arch-top guitar, 17 in wide"),
    term("flat-top guitar, dreadnought-size"),
    term("solid-body guitar with a walnut cap"),
)
PARTS = (
    term("top"),
    term("back"),
    term("sides"),
    term("neck"),
    term("fingerboard"),
    term("headplate"),
    term("bridge"),
    term("tailpiece"),
    term("pickguard"),
    term("bars"),
    term("blocks"),
    term("linings"),
    term("binding"),
    term("heel"),
    term("bridge plate"),
    term("braces"),
    term("rosette"),
    term("body"),
    term("cap"),
)
STEPS = (
    term("join the top"),
    term("join the back"),
    term("flatten the plates"),
    term("cut the outlines"),
    term("carve the top outside"),
    term("carve the back outside"),
    term("scrape the arches"),
    term("carve the top inside"),
    term("carve the back inside"),
    term("hear the plates"),
    term("cut the sound holes"),
    term("bind the sound holes"),
    term("fit the bars"),
    term("glue the bars"),
    term("shape and voice the bars"),
    term("thickness the sides"),
    term("bend the sides"),
    term("glue the blocks"),
    term("glue the linings"),
    term("level the rims"),
    term("close the top"),
    term("clean and label the inside"),
    term("close the box"),
    term("trim the plates"),
    term("cut the binding channels"),
    term("bind and purfle"),
    term("scrape the binding"),
    term("glue up the neck"),
    term("rough out the neck"),
    term("fit the truss rod"),
    term("glue the headplate"),
    term("glue the fingerboard"),
    term("bind the fingerboard"),
    term("carve the neck"),
    term("slot the fingerboard"),
    term("press the frets"),
    term("level the frets"),
    term("fit the neck"),
    term("marry body and neck"),
    term("sand in the white"),
    term("stain and spray"),
    term("level and buff"),
    term("make the bridge and its foot"),
    term("make and fit the tailpiece"),
    term("fit the pickguard"),
    term("fit tuners and nut"),
    term("string and set up"),
    term("play in and set the intonation"),
    term("measure the whole instrument"),
    term("settle and measure again"),
    term("inlay the rosette"),
    term("thickness the top"),
    term("thickness the back"),
    term("split and shape the braces"),
    term("brace the top"),
    term("brace the back"),
    term("voice the top"),
    term("fit the plates to the rims"),
    term("spray"),
    term("glue the bridge"),
    term("fit the hardware"),
    term("make nut and saddle"),
    term("plane and join the body"),
    term("join the cap"),
    term("chamber the body"),
    term("glue the cap"),
    term("cut the outline"),
    term("route the cavities"),
    term("carve the body"),
    term("drill for bridge and wires"),
    term("bind the body"),
    term("sand the body"),
    term("inlay the marks"),
    term("radius the fingerboard"),
    term("shield and wire"),
    term("test the wiring"),
    term("make the nut"),
)
MEASURES = (
    term("room humidity, top joined"),
    term("room humidity, back joined"),
    term("arch of the top"),
    term("arch of the back"),
    term("top at its middle"),
    term("top at its edge"),
    term("top at its recurve"),
    term("mass of the carved top"),
    term("first mode of the carved top"),
    term("back at its middle"),
    term("back at its edge"),
    term("back at its recurve"),
    term("mass of the carved back"),
    term("first mode of the carved back"),
    term("widest gap at the bars"),
    term("room humidity, bars glued"),
    term("mass of the barred top"),
    term("first mode of the barred top"),
    term("thickness of the sides"),
    term("heat of the iron"),
    term("sides off the mould"),
    term("room humidity, top closed"),
    term("room humidity, box closed"),
    term("time in the press"),
    term("depth of the channel"),
    term("widest gap at the binding"),
    term("width at the nut"),
    term("depth at the 1st fret"),
    term("depth at the 9th fret"),
    term("width of the fret slots"),
    term("frets off level"),
    term("height of the strings over the bridge's place"),
    term("centre line off the bridge"),
    term("mass in the white"),
    term("booth humidity"),
    term("booth temperature"),
    term("thickness of the finish"),
    term("widest gap under the foot"),
    term("relief"),
    term("action, 6th string"),
    term("action, 1st string"),
    term("1st string over the 1st fret"),
    term("6th string over the 1st fret"),
    term("intonation at the 12th fret"),
    term("mass"),
    term("room humidity, measured"),
    term("relief, settled"),
    term("action, 6th string, settled"),
    term("action, 1st string, settled"),
    term("thickness of the top"),
    term("mass of the top"),
    term("thickness of the back"),
    term("mass of the back"),
    term("room humidity, top braced"),
    term("mass of the braced top"),
    term("first mode of the braced top"),
    term("air over the bridge"),
    term("bridge off its place"),
    term("mass of the blank"),
    term("room humidity, body joined"),
    term("mass of the chambered body"),
    term("seam of the cap off the centre"),
    term("depth of the neck pocket"),
    term("mass of the routed body"),
    term("bridge holes off the centre line"),
    term("mass of the body"),
    term("radius of the fingerboard"),
    term("widest gap in the pocket"),
)
# What shops take that none of these models asks for.
OTHER_MEASURES = (
    term("main air"),
    term("set up at"),
)
# Where a handbook prints how a wood moves.
SOURCES = (
    term("trade figures"),
    term("literature on bow wood"),
    term("Chudnoff, Tropical Timbers of the World, USDA AH-607"),
    term(
        "Chudnoff, Tropical Timbers of the World, USDA AH-607; stiffness Wood Handbook "
        "table 5-5a"
    ),
    term("Wood Handbook FPL-GTR-190 tables 4-3 and 5-3a"),
    term("Wood Handbook FPL-GTR-190 tables 4-4 and 5-5a"),
    term("Wood Handbook FPL-GTR-190 tables 4-3, 5-3a and 13-5"),
    term("Wood Handbook FPL-GTR-190 tables 4-3, 5-3a and 5-13"),
    term("Wood Handbook FPL-GTR-190 tables 4-3, 5-3a and 5-13, old growth"),
    term("Wood Handbook FPL-GTR-190 tables 4-3, 5-3a, 5-13 and 13-5"),
)
# How somebody stands by a step.
MEANINGS = (
    term("did"),
    term("assisted"),
    term("inspected"),
    term("approved"),
    term("witnessed"),
)
# How the origin of old stock is known.
EVIDENCE = (
    term("invoice"),
    term("diary"),
    term("witness"),
)
# What became of a part that was taken off.
FATES = (
    term("kept"),
    term("destroyed"),
    term("given to the owner"),
)
ERRANDS = (
    term("show"),
    term("loan"),
    term("service"),
    term("sale"),
)
# How far a body is made when it is tapped, and what rings then.
STAGES = (
    term("plate"),
    term("braced"),
    term("closed"),
    term("strung"),
)
MODES = (
    term("along"),
    term("across"),
    term("twist"),
    term("bar"),
    term("air"),
    term("top"),
    term("back"),
    term("other"),
)
# What a photograph of a board shows.
# A board's back is not an instrument's.
FACES = {
    "front": term("front"),
    "back": term("back side"),
    "end-grain": term("end-grain"),
    "edge": term("edge"),
    "defect": term("defect"),
}
# What a batch is for that may be of an animal or a plant.
USES = (
    term("binding"),
    term("bone"),
    term("shell"),
)
# Where alone a listing holds, as the tables write a range beside codes of countries.
REGIONS = (
    term("Africa"),
    term("the Neotropics"),
)
# Which qualification a step of the shipped models asks of whoever signs it.
CRAFTS = (
    term("bind"),
    term("brace"),
    term("finish"),
    term("frets"),
    term("machine"),
    term("necks"),
    term("plates"),
    term("set-up"),
)
OTHERS = (term("received and measured the wood"),)
# A step that somebody saw or helped with, or a year of service.
WORK = re.compile(r"(.+) \((.+)\)")


def in_a_row(words: Sequence[str], say: Tongue) -> str:
    """Return words in a row, with the language's "and" before the last."""
    if len(words) < 2:
        return "".join(words)
    return say("{first} and {last}").format(first=", ".join(words[:-1]), last=words[-1])


def works_in(work: str, say: Tongue) -> str:
    """Return what somebody did, each work that the catalogue has in the language."""
    return ", ".join(_work(each, say) for each in work.split(", "))


def _work(work: str, say: Tongue) -> str:
    found = WORK.fullmatch(work)
    return f"{say(found[1])} ({say(found[2])})" if found else say(work)
