"""Which modules are tried, by which tests, and which mutants change no answer."""

LOG = (
    "merkle",
    "proof",
    "checkpoint",
    "encoding",
    "entry",
    "keys",
    "approvals",
    "authority",
    "standing",
    "governing",
    "card",
    "policy",
    "keysfile",
    "tiles",
)
CHECK = ("__init__", "record", "card", "answer", "unsigned")
MODULES = (
    *(f"ledger/log/{name}.py" for name in LOG),
    *(f"ledger/check/{name}.py" for name in CHECK),
)
# Tests of other modules that belong to one as well.
ALSO = {
    "ledger/log/merkle.py": ("tests/ledger/log/test_tiles.py",),
}

# Each with the reason why no answer differs.
EQUIVALENT: dict[str, dict[str, str]] = {}


def tests_of(path: str) -> tuple[str, ...]:
    """Return the test files whose matter a module is."""
    folder, _, name = path.rpartition("/")
    if folder == "ledger/check":
        return ("tests/ledger/check", "tests/ledger/test_check.py")
    return (f"tests/{folder}/test_{name}", *ALSO.get(path, ()))
