"""What is asked of a status list that a command is named: it holds, and is newest."""

import json
from dataclasses import replace
from typing import Any

from cli.context import state_folder


def held_to(answer: Any, status_data: bytes, keys_data: bytes) -> Any:
    """Return an answer, as CANNOT TELL where the list it was given says nothing.

    Whoever names a list relies on it: one that does not hold, or is older than this
    account has seen, must not end as if there had been none. One that holds is
    remembered.
    """
    from ledger.check import BUT, CANNOT_TELL

    if answer.status is None:
        return answer
    fault = (
        answer.status.words[0]
        if answer.status.number is None
        else _fault_beside_seen(status_data, keys_data)
    )
    if not fault:
        return answer
    if answer.word == BUT:
        return replace(answer, reasons=(*answer.reasons, fault))
    status = replace(answer.status, words=())
    return replace(answer, word=CANNOT_TELL, reasons=(fault,), status=status)


def _fault_beside_seen(status_data: bytes, keys_data: bytes) -> str:
    """Say why a list that holds is not the newest that was seen, or remember it."""
    from ledger.check.status import signs_lists
    from ledger.log import seenlists
    from ledger.log.keysfile import read_keys_file
    from ledger.log.statusfile import read_status_list

    keys, listed = read_keys_file(keys_data), read_status_list(status_data)
    founding = json.loads(keys_data)["lineage"][0].encode("utf-8")
    state, number = state_folder(), listed.number
    made = seenlists.SeenList.of(status_data, number=number, key=listed.key)
    known = seenlists.newest(state, keys.origin, founding)
    # A number that a key of trouble gave binds nobody once the keys file says so.
    if known is not None and signs_lists(keys, known.key):
        if number < known.number:
            return (
                f"status list {number} is older than status list {known.number}, "
                f"which this account has seen: ask the shop for its newest"
            )
        if number == known.number and made != known:
            return (
                f"status list {number} says otherwise than the status list {number} "
                f"which this account has seen: ask the shop"
            )
    seenlists.remember(state, keys.origin, founding, made)
    return ""
