"""What is said of an answer that a row of the shop's own, left out, had a part in.

A row that was adopted and would be refused today takes no effect. Each question is
asked of both editions, without such rows and with them: where they differ, or where the
second rests on one, the answer says so, and is never that nothing is needed.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from ledger.trade.answers import Determination
from ledger.trade.coverage import ASK, NOT_NEEDED
from ledger.trade.path import Step


def heeding(said: Determination, whole: Determination, says: str) -> Determination:
    """Return an answer that says where a row was left out that it would rest on.

    whole  the answer by the edition with the rows that are left out
    says   what marks each of them there

    Source: the shop's own caution; a row that is left out frees nothing.
    """
    others = others_heeding(said.also, whole.also, says)
    told = replace(said, also=others)
    mine, its = ((d.answer, d.documents, d.is_listed) for d in (said, whole))
    return _open(told, says) if _rests(whole, says) or mine != its else told


def others_heeding(
    said: Sequence[Determination], whole: Sequence[Determination], says: str
) -> tuple[Determination, ...]:
    """Return what other laws say, with where a row was left out of that.

    What they would say by such a row alone is asked about.

    Source: the shop's own caution; a row that is left out frees nothing.
    """
    return tuple(_others(said, whole, says))


def _others(
    said: Sequence[Determination], whole: Sequence[Determination], says: str
) -> Iterator[Determination]:
    """Yield the answers of other laws; a rule may stand in the place of another."""
    known = {other.rule for other in whole}
    places = {_place(other) for other in said if other.rule not in known}
    for other in said:
        its = [one for one in whole if one.rule == other.rule]
        is_same = any(one.answer == other.answer for one in its)
        rests = any(_rests(one, says) for one in its)
        yield other if is_same and not rests else _open(other, says)
    mine = {other.rule for other in said}
    for one in whole:
        if one.rule not in mine and _place(one) not in places:
            plain = replace(one, answer=NOT_NEEDED, documents=(), rows=())
            yield _open(plain, says)


def _place(said: Determination) -> tuple[str, str]:
    """Return of which law an answer is, and who is asked: of such rules one counts."""
    return said.law, said.ask_whom


def _rests(whole: Determination, says: str) -> bool:
    """Tell whether an answer rests on a row that is marked so."""
    is_marked = any(step.own == says for step in whole.path)
    return is_marked or says in whole.confidence or says in whole.why


def _open(said: Determination, says: str) -> Determination:
    """Return an answer that says so, and asks where nothing would be needed."""
    answer = ASK if said.answer == NOT_NEEDED else said.answer
    step = Step(at="left out", says=says, decided=answer)
    why = f"{said.why}; but {says}"
    return replace(said, answer=answer, why=why, path=(*said.path, step))
