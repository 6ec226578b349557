"""The shops that these tests use."""

from tests.shops import (
    certified,
    certified_folder,
    loft,
    loft_on_each,
    staffed_folder,
    supplied,
)

__all__ = [
    "certified",
    "certified_folder",
    "loft",
    "loft_on_each",
    "staffed_folder",
    "supplied",
]
