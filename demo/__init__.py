"""The invented shop: Skerrymoor Fretted Instruments at Port Anslow, and its Loft.

Nobody and nothing in it exists. `scenario` plays it through `ledger.acts` with a fixed
clock and fixed chance, so that its root hash is the same everywhere; `cast`, `stock`,
`oldstock` and `tops` say who and what there is, `flattop`, `archtop` and `solidbody`
what was signed of each instrument, and `ringing` writes how it rings.
"""
