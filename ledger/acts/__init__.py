"""What people do: check who asks and which rules apply, then append.

Begin with `shop` (a shop's folder, and one person's turn at its log) and `signing`
(how a PIN becomes a signature). Then `founding`, `people`, `wood`, `builds`,
`certificates` and `owners`, each an act a function; `heads` signs the head of the tree
and proves what is under it; `copies` vouches for the whole and copies it, `exchange`
carries it elsewhere as plain files.
"""
