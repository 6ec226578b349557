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
    "lineage",
    "affirming",
    "statusfile",
    "cosignature",
)
CHECK = ("__init__", "record", "card", "answer", "unsigned", "status", "outside")
MODULES = (
    *(f"ledger/log/{name}.py" for name in LOG),
    *(f"ledger/check/{name}.py" for name in CHECK),
)
# Tests of other modules that belong to one as well.
ALSO = {
    "ledger/log/merkle.py": ("tests/ledger/log/test_tiles.py",),
    "ledger/log/authority.py": (
        "tests/ledger/log/test_affirming.py",
        "tests/ledger/log/test_approvals.py",
        "tests/ledger/log/test_governing.py",
        "tests/ledger/log/test_keysfile.py",
        "tests/ledger/log/test_lineage.py",
    ),
    "ledger/log/keysfile.py": ("tests/ledger/log/test_lineage.py",),
    "ledger/log/governing.py": (
        "tests/ledger/log/test_keysfile.py",
        "tests/ledger/log/test_lineage.py",
    ),
    "ledger/log/standing.py": (
        "tests/ledger/log/test_affirming.py",
        "tests/ledger/log/test_approvals.py",
        "tests/ledger/log/test_lineage.py",
    ),
}

# Each with the reason why no answer differs.
EQUIVALENT: dict[str, dict[str, str]] = {
    "ledger/log/merkle.py": {
        "tile_node: True -> False": "of 2^n hashes as many are left ones as right ones",
        "_climb_left_edge: not place & 1 and place -> not place & 1": (
            "nobody climbs from 0: the last place is 0 then, and that is refused"
        ),
    },
    "ledger/log/proof.py": {
        r"INDEX: re.compile('index (0|[1-9][0-9]{0,15})\\Z')"
        r" -> re.compile('index (0|[1-9][0-9]{,15})\\Z')": "both mean none to fifteen",
        "parse_proof: 1 -> 2": "of two lines none is left for the index: refused",
    },
    "ledger/log/checkpoint.py": {
        r"SIZE: re.compile('(?:0|[1-9][0-9]{0,15})\\Z')"
        r" -> re.compile('(?:0|[1-9][0-9]{,15})\\Z')": "both mean none to fifteen",
        "parse_note: not found or not tail.endswith('\\n') or (not head)"
        " -> not tail.endswith('\\n') or not head": (
            "where no blank line is found there is no text before it either"
        ),
        "is_of_volume: int(own) < int(number) -> int(own) <= int(number)": (
            "of one number, each is written in one way: they were the same before"
        ),
    },
    "ledger/log/encoding.py": {
        "_is_cut_off: 'true' -> 'truex'": "a whole word is read before",
        "_is_cut_off: 'false' -> 'falsex'": "a whole word is read before",
        "_is_cut_off: 'null' -> 'nullx'": "a whole word is read before",
        "profile_fault: value is None or isinstance(value, bool) -> value is None": (
            "true and false are whole numbers within the range"
        ),
        "_refuse_number: raise ValueError(f'{text} is no integer') -> pass": (
            "what is read as null instead is written again as null, and differs"
        ),
    },
    "ledger/log/keys.py": {
        "PublicKey.has_signed: return False -> return None": "neither is a yes",
        "base64_bytes: True -> False": "written again it is compared, sign by sign",
    },
    "ledger/check/status.py": dict.fromkeys(
        (
            "with_status: answer.index or 0 -> answer.index",
            "with_status: 0 -> 1",
        ),
        "what a list names has an index, and entry 0 is the founding",
    ),
    "ledger/log/authority.py": {
        "_is_for_roots: return False -> return None": "neither is a yes",
        "_subject_of: subject if isinstance(subject, str) else None"
        " -> subject if True else None": "what is no text is nobody that is known",
    },
    "ledger/log/governing.py": {
        "_is_head: return False -> return None": "neither is a yes",
        "_is_head: return False -> return None (2)": "neither is a yes",
    },
    "ledger/log/policy.py": {
        "_is_open_kind: return False -> return None": "neither is a yes",
        "_is_ability: return False -> return None": "neither is a yes",
    },
    "ledger/log/lineage.py": {
        "walk_lineage: 1 -> 2": "every index is behind -2 as it is behind -1",
    },
    "ledger/log/standing.py": {
        **dict.fromkeys(
            (
                "Standing.qualifications_of: subject or '' -> subject",
                "Standing.qualifications_of: '' -> 'x'",
            ),
            "nobody's, as no subject is written so",
        ),
    },
    "ledger/log/entry.py": {
        "is_day: return False -> return None": "neither is a yes",
    },
    "ledger/log/cosignature.py": {
        r"OLD: re.compile('old (0|[1-9][0-9]{0,15})\\Z')"
        r" -> re.compile('old (0|[1-9][0-9]{,15})\\Z')": "both mean none to fifteen",
        "cosigned_at: len(data) == TIME_SIZE + SIGNATURE_SIZE and 0 < seconds <= LATEST"
        " -> 0 < seconds <= LATEST": "what is shorter or longer is no signature",
        "parse_request: b'' -> b'x'": "neither has the length of a hash",
        **dict.fromkeys(
            (
                "LARGEST_REQUEST: 131072 -> 131073",
                "LARGEST_REQUEST: 131072 -> 131071",
                "parse_request: old is None or not note or len(text) > LARGEST_REQUEST"
                " -> old is None or not note",
                "parse_request: len(text) > LARGEST_REQUEST"
                " -> len(text) >= LARGEST_REQUEST",
            ),
            "63 hashes and the longest note are shorter: it only spares work",
        ),
    },
    "ledger/log/card.py": {
        "_is_pair: return False -> return None": "neither is a yes",
    },
    "ledger/log/approvals.py": {
        "_is_approval: return False -> return None": "neither is a yes",
    },
}


def tests_of(path: str) -> tuple[str, ...]:
    """Return the test files whose matter a module is."""
    folder, _, name = path.rpartition("/")
    if folder == "ledger/check":
        return ("tests/ledger/check", "tests/ledger/test_check.py")
    return (f"tests/{folder}/test_{name}", *ALSO.get(path, ()))
