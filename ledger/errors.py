"""What can go wrong in the ledger, told so that a person knows what to do next."""


class LedgerError(Exception):
    """Something the ledger has to tell the person who asked."""


class NotFoundError(LedgerError):
    """It was never recorded."""


class RefusedError(LedgerError):
    """It was understood, and it is against a rule."""


class TamperError(LedgerError):
    """A hash or a signature does not fit."""
