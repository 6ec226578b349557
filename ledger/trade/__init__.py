"""The law as data and rules: what papers a piece of wood asks for when it moves.

    question = question_from({"taxon": "Dalbergia latifolia", "form": "sawn_wood",
                              "date": "2026-10-01", "legs": ["IN", "DE"]})
    determine(question).answer  # "needed"

The tables say what was found and on which day; the rules say `needed`, `not needed` or
`ask`, each with its row and source. A shop may lay rows of its own over the tables:
`law=` tells by which edition to answer. It is a maker's worksheet, and no permit.
"""
