"""What nature does: moisture, density, stiffness and ringing, in SI units.

Numbers are floats in SI units, moisture in percent of oven-dry mass, temperature in
degrees Celsius. Nothing here knows of a shop, a rule or a law. Read `uncertainty` and
`spread` first, then what you came for:

    water       moisture, meter, air, gravity, shrinkage, handbook, stiffness_at
    rest        approach (a curve that comes to rest), drying (where, and on which day)
    plates      plate brings together ritz and inversion (the full solution: whole),
                closed, air_load, mistaken; modes tells what to expect before tapping,
                reworked what a plate does when wood is taken off, thickness how thick
    bars        bar over beam; deflection for a weight instead of a tap
    taps        recording, onset, faults, hum, zoom, pencil, hit, tap: from a file to
                frequencies and damping; decay reads Q once more, spectrum draws
    usually     species, elastic: densities and stiffnesses of the kinds of wood
"""

import os

# Matrices here are small. Threads of the linear algebra would wait for each other, on a
# busy machine for seconds; this holds where numpy is first imported from this room.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
