"""The end of a drying from three weighings as far apart as one another, in closed form.

Written for the tests, to be compared with what is fitted.
"""

from collections.abc import Sequence


def end_mass_of_three(masses: Sequence[float]) -> tuple[float, float]:
    """Return the end mass and the ratio of the differences of three weighings.

    Source: Aitken's formula, re-derived: (m1 m3 - m2^2) / (m1 + m3 - 2 m2).
    """
    first, second, third = masses
    ratio = (second - third) / (first - second)
    return (first * third - second**2) / (first + third - 2 * second), ratio
