"""The ledger: what a shop says about its wood, its builders and its instruments.

Read it from the lasting to the fleeting: `log` (the tamper-evident log, which knows
nothing of wood), `events` (what can be said), `views` (the present, folded from the
past), `acts` (what people do). Then `check` (a stranger judges one certificate) and
`audit` (anyone judges the whole log).
"""
