"""The shops that these tests use."""

from tests.roadside import road, roadside_folder
from tests.shops import (
    certified,
    certified_folder,
    loft,
    loft_on_each,
    staffed_folder,
    staffed_on_postgresql,
    staffed_on_sqlite,
)

__all__ = [
    "certified",
    "certified_folder",
    "loft",
    "loft_on_each",
    "road",
    "roadside_folder",
    "staffed_folder",
    "staffed_on_postgresql",
    "staffed_on_sqlite",
]
