"""Imports the room before numpy, so that numpy starts no threads of its own."""

import ledger.wood

__all__ = ["ledger"]
