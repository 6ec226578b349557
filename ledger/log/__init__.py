"""The tamper-evident log: it knows nothing of wood.

Read it in this order: `encoding` (the one way to write a thing down), `entry` (what
is signed, and the record of it), `keys` (who signs), `merkle` (one hash for all that
was said), `authority` (who may say which kind), `checkpoint`, `proof`, `keysfile` and
`card` (what leaves the building), `store` (append and read, over `database`, `tables`,
`queries` and `tiles`), `vault` (what must stay erasable, over `vaultfile` and
`sealing`) and `attachments` (files by their digest).
"""
