"""How sure a scatter makes: few repetitions scatter less than many by luck.

Twice the standard uncertainty is meant to hold the truth in 95 of 100 cases. Of five
repetitions a scatter must be taken 1.43 times for that, of two almost seven times.
"""

import math
from collections.abc import Sequence
from statistics import mean, stdev

# Student's t for 95.45 %, by degrees of freedom.
# Source: JCGM 100:2008 (GUM), table G.2.
STUDENT = (13.97, 4.53, 3.31, 2.87, 2.65, 2.52, 2.43, 2.37, 2.32, 2.28)
# Fewer values do not show whether they scatter more than each by itself explains.
ENOUGH = 4


def sure_by_spread(u: float, *, free: int) -> float:
    """Return an uncertainty that was seen as scatter, so that twice it holds the truth.

    u     standard uncertainty as the scatter gives it
    free  degrees of freedom, at least one

    Source: JCGM 100:2008 (GUM), G.3.2 and table G.2; beyond 10 the table's own law,
    2.28 at 10 falling to 2.00 as one over the degrees of freedom.
    """
    if free <= len(STUDENT):
        return u * STUDENT[free - 1] / 2
    return u * (1 + 0.14 * len(STUDENT) / free)


def uncertainty_of_mean(values: Sequence[float], fitted: Sequence[float]) -> float:
    """Return the standard uncertainty of the mean of repeated readings.

    fitted  the standard uncertainty that each reading has by itself

    Where readings scatter no more than that, it alone counts; else the scatter does
    too. Of two or three nobody can tell, and the larger counts.

    Source: JCGM 100:2008 (GUM), 4.2 and G.3.2; which of the two counts when was chosen
    by simulation, so that twice the result holds the truth in 93 to 98 % of cases.
    """
    count = len(values)
    alone = math.sqrt(sum(u**2 for u in fitted)) / count
    if count == 1:
        return alone
    scatter = sure_by_spread(stdev(values) / math.sqrt(count), free=count - 1)
    if count < ENOUGH:
        return max(alone, scatter)
    is_more = stdev(values) ** 2 > mean(u**2 for u in fitted)
    return math.hypot(alone, scatter) if is_more else alone
