"""Ten words that stand for a checkpoint, for eyes and telephones.

Each word is one byte, so ten are 80 bits of the root hash: a quick look, not a proof.
The list is in alphabetical order; no two words begin with the same three letters.
"""

import re
from difflib import get_close_matches

from ledger.errors import RefusedError

SEPARATORS = re.compile(r"[^a-z\u0080-\uffff]+")
LIST = """
acorn adze almond amber anchor anvil apron arbor
ashen aspen atlas auger autumn awning axle azure
badger balsa barrel basil beacon bellow bench birch
bishop blade bobbin bottle bramble bridge bronze bucket
butter cabin cactus camel candle carbon cedar cellar
chapel cherry chisel cider cinder clover cobalt coffee
comet copper coral cotton cradle cricket crystal cuckoo
cymbal denim dinner dolphin dowel dragon drummer eagle
easel ebony echo elbow elm ember engine evening
fabric falcon fathom feather fennel ferry fiddle filter
finger flint floor flute forest fossil fountain foxglove
frost funnel gable galley garnet geyser ginger glacier
glove goblet granite grove guitar gypsum harbor hazel
heron hickory hinge holly honey hornet hunter igloo
indigo inlay island ivory jacket jasmine jelly jersey
jetty jigsaw journal juniper kayak kettle kidney koala
ladder lagoon lantern larch lemon level lilac linen
lizard lobster locket lumber lunar magnet mallet maple
marble meadow melon mercury mica millet mirror mitre
monk muffin museum napkin nectar needle nettle nickel
north nutmeg oak oboe ocean olive onion opal
orbit orchid osprey otter oven oxbow oyster paddle
pagoda panther parcel pebble pelican pepper petal piano
pigeon pillow pine planet plough pocket polar poplar
potter prism puffin quarry quince rabbit radish rafter
rake raven ribbon ripple rivet robin rocket rosin
rudder saddle salmon satin scythe seagull sextant shovel
silver slate snow sorrel spindle spruce squash stable
sunset swallow table talon tassel teapot tempo thimble
thunder tiger timber trumpet tulip turtle umber urchin
valley velvet vessel violet vulture wagon walnut wheat
willow winter wren yarrow yellow yonder zebra zenith
"""
WORDS = tuple(LIST.split())
SPOKEN = 10


def ten_words(root: bytes) -> tuple[str, ...]:
    """Say the first ten bytes of a root hash."""
    return tuple(WORDS[byte] for byte in root[:SPOKEN])


def spoken_bytes(text: str) -> bytes:
    """Read ten words, typed from a paper with or without their numbers.

    Raises RefusedError that names the word which is not on the list, with the one it
    may be.
    """
    words = [word for word in SEPARATORS.split(text.casefold()) if word]
    for word in words:
        if word not in WORDS:
            near = get_close_matches(word, WORDS, n=1)
            maybe = f"; is it {near[0]!r}?" if near else ""
            raise RefusedError(f"{word!r} is none of the words on our papers{maybe}")
    if len(words) != SPOKEN:
        raise RefusedError(
            f"a checkpoint has {SPOKEN} words, and {len(words)} are here: read it again"
        )
    return bytes(WORDS.index(word) for word in words)
