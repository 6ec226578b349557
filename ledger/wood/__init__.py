"""What nature does: moisture, density, stiffness and ringing, in SI units.

Numbers are floats in SI units, moisture in percent of oven-dry mass, temperature in
degrees Celsius. Nothing here knows of a shop, a rule or a law. Read `uncertainty`
first, then `moisture`, `density`, `bar` and `plate`; `recording`, `onset`, `zoom`,
`pencil` and `tap` turn a recording into frequencies and damping.
"""

import os

# Matrices here are small. Threads of the linear algebra would wait for each other, on a
# busy machine for seconds; this holds where numpy is first imported from this room.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
