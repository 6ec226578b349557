"""Ten words that stand for a checkpoint, for eyes and telephones.

Each word is one byte, so ten are 80 bits of the root hash: a quick look, not a proof.
The list is in alphabetical order; no two words begin with the same three letters.
"""

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
