"""What is said of plates: gauged for their thickness at known places."""

from typing import Annotated, ClassVar

from annotated_types import MaxLen, MinLen

from ledger.events.form import Amount, Count, Words, said


@said
class GaugedPlace:
    """A place of a plate, and how thick the plate is there.

    `x_um` runs from the centre line to the right, to the left it is below zero; `y_um`
    runs from the lower end of the plate towards the neck. Both are as seen from
    outside with the neck end up, of a back as of a top.
    """

    x_um: int
    y_um: Amount
    thickness_um: Count


@said
class PlateGraduated:
    """A plate of an instrument was gauged for its thickness, place by place.

    `length_um` is the plate's on its centre line, where `y_um` ends; `width_um` is
    across it where it is widest. `gauge` is what it was measured with, by its code or
    in free words; `stage` is how far it was made, as whoever measured says it.

    The noun is the board's that became the plate: whoever may measure a board may say
    it, also under a policy that was adopted before plates were graduated.
    """

    kind: ClassVar[str] = "board.plate-graduated/1"

    serial: Words
    part: Words
    length_um: Count
    width_um: Count | None = None
    places: Annotated[tuple[GaugedPlace, ...], MinLen(3), MaxLen(200)]
    gauge: Words | None = None
    stage: Words | None = None

    def __post_init__(self) -> None:
        if len({(place.x_um, place.y_um) for place in self.places}) < len(self.places):
            raise ValueError("each place of a plate is gauged once")
        if max(place.y_um for place in self.places) > self.length_um:
            raise ValueError("a place lies beyond the end of the plate")
