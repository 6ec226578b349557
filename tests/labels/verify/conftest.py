"""Shops whose papers the page is shown."""

from tests.shops import certified, certified_folder

__all__ = ["certified", "certified_folder"]
