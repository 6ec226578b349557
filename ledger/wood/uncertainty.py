"""How sure a computed number is: the law of propagation for products of powers.

Most of what is computed here is a constant times powers of what was measured. The
relative variance of such a product is the sum of the inputs' relative variances, each
times its power squared.

    >>> side = Estimate(value=0.2, u=0.001)
    >>> product(1, (side, 2))
    Estimate(value=0.04..., u=0.0004)
"""

import math
from dataclasses import dataclass

from ledger.errors import RefusedError


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A number and its standard uncertainty, both in the same unit."""

    value: float
    u: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.value) and 0 <= self.u < math.inf):
            raise RefusedError(
                f"{self.value:g} with a standard uncertainty of {self.u:g} is no "
                f"measurement: measure again"
            )


def product(constant: float, *factors: tuple[Estimate, float]) -> Estimate:
    """Return a constant times powers of what was measured, each independently.

    Every measured value must be above zero; the constant is exact.

    Source: JCGM 100:2008 (GUM), 5.1.6, equation (12).
    """
    for factor, _ in factors:
        require_measured(factor)
    value = constant * math.prod(factor.value**power for factor, power in factors)
    return estimated(value, *factors)


def estimated(value: float, *inputs: tuple[Estimate, float]) -> Estimate:
    """Return a value with its uncertainty, from relative sensitivities to its inputs.

    A sensitivity says by how many percent the value grows where its input grows by one.

    Source: JCGM 100:2008 (GUM), 5.1.2 and 5.1.6, equations (10) and (12).
    """
    parts = (power * each.u / each.value for each, power in inputs)
    return Estimate(value=value, u=abs(value) * math.hypot(*parts))


def require_measured(estimate: Estimate) -> None:
    """Refuse a size, a mass or a frequency that is not above zero.

    Source: no length, mass or frequency is zero or less.
    """
    if estimate.value <= 0:
        raise RefusedError(f"{estimate.value:g} is not above zero: measure again")
