"""The evidence behind a certificate: as it is used to be, and far too much of it."""

from dataclasses import replace
from hashlib import sha256
from io import BytesIO

from PIL import Image

from labels.evidence_facts import Border, BorderRow, Evidence, Photograph
from labels.plot_seasoning import Seasoning
from labels.plot_voice import Voice
from tests.labels import book_samples, plot_samples
from tests.labels.plot_samples import rail

LONG_SPECIES = "Pterocarpus macrocarpus var. parvifolius"
LONG_PART = "back reinforcement strip under the sound hole"


def jpeg(size: tuple[int, int], mode: str = "RGB") -> bytes:
    """Return a plain JPEG with a dark left half."""
    picture = Image.new("RGB", size, (214, 178, 120))
    picture.paste((96, 60, 32), (0, 0, size[0] // 2, size[1]))
    out = BytesIO()
    picture.convert(mode).save(out, format="JPEG", quality=90)
    return out.getvalue()


def photograph(
    entry: int, size: tuple[int, int] = (640, 480), *, step: str = ""
) -> Photograph:
    """Return a photograph on file, of a board where no step is named."""
    data = jpeg(size)
    board = "" if step else "L26-004-11.A"
    return Photograph(
        day="2026-07-24",
        entry=entry,
        digest=sha256(data + bytes([entry % 256])).hexdigest(),
        jpeg=data,
        width=size[0],
        height=size[1],
        board=board,
        part="top" if board else "",
        face="front" if board else "",
        step=step,
    )


def border() -> Border:
    """Return the answers for the instrument of the worked example."""
    return Border(
        day="2026-11-21",
        compiled="2026-03-05",
        oldest_source="2017-04-21",
        start="CA",
        ends=("EU", "GB", "JP", "US"),
        rows=(
            BorderRow(
                species="Dalbergia nigra",
                parts=("bridge",),
                answer="needed",
                appendix="I",
            ),
            BorderRow(
                species="Swietenia macrophylla",
                parts=("neck",),
                answer="ask",
                appendix="II",
                annotation="6",
                where="the Neotropics",
            ),
            BorderRow(
                species="Diospyros crassiflora",
                parts=("fingerboard", "bridge"),
                answer="ask",
                is_aged=True,
            ),
            BorderRow(
                species="Dalbergia latifolia",
                parts=("back", "sides"),
                answer="not needed",
                appendix="II",
                annotation="15",
            ),
            BorderRow(species="Picea abies", parts=("top",), answer="not needed"),
        ),
    )


def seasoning() -> Seasoning:
    """Return how the top came to rest among the others of its lot."""
    plot = plot_samples.seasoning()
    return replace(plot, what="board", stubborn=(), fitted=(), ready=None, rest=None)


EVIDENCE = Evidence(
    timeline=book_samples.timeline(),
    seasoning=seasoning(),
    weighed="top",
    voice=plot_samples.voice(),
    border=border(),
    photographs=(
        photograph(750),
        photograph(756, (480, 640), step="voice the top"),
        photograph(878, (900, 450), step="measure the whole instrument"),
    ),
)


def crowded_voice() -> Voice:
    """Return four stages of which each has more modes than there is room for."""
    tones = {f"plate {n} across": 40.0 + 9.5 * n for n in range(14)}
    return Voice(
        heading=plot_samples.voice().heading,
        rails=(
            rail("plate", False, 1176, **tones),
            rail("braced", False, None, **tones),
            rail("closed", True, 14_422, **tones),
            rail("strung", True, 19_986, **tones),
        ),
    )


CROWDED = Evidence(
    timeline=book_samples.many_rows(),
    seasoning=seasoning(),
    weighed=LONG_PART,
    voice=crowded_voice(),
    border=replace(
        border(),
        start="",
        rows=tuple(
            BorderRow(
                species=f"{LONG_SPECIES} {'I' * (n % 4)}".strip(),
                parts=tuple(f"{LONG_PART} {m}" for m in range(3)),
                answer=("needed", "ask", "not needed")[n % 3],
                appendix="III" if n % 2 else "",
                annotation="17" if n % 2 else "",
                where="Africa, Bolivia, the Neotropics and others" if n % 2 else "",
                is_aged=n % 6 == 4,
            )
            for n in range(14)
        ),
    ),
    photographs=tuple(
        replace(photograph(n, (300, 1600)), part=LONG_PART, is_cropped=True)
        for n in range(4)
    ),
    unseen=(41, 42, 90_001),
    more=1234,
)
