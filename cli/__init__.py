"""The commands: parse, one act, show.

`main` gathers the nouns, one module each; `context` knows which shop, who signs and
how a PIN is asked for; `show` prints. Nothing here imports a database, a PDF or a
numeric library before a command has something to do.
"""
