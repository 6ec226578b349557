"""The present, folded from the past: tables that may be dropped and made again.

One module for each noun: `people`, `wood`, `builds`, `certificates`, and `standing`
for what decides who may speak. `fold` takes one entry into all of them, in the very
transaction that appends it; `trace` follows wood and papers through them.
"""
