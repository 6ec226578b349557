"""What a determination says: the answer first, then what it rests on."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from ledger.trade.confidence import AND, least
from ledger.trade.coverage import ASK, NOT_NEEDED, ORDER
from ledger.trade.documents import Document
from ledger.trade.listings import doubt_of
from ledger.trade.path import Step, path_data, step_on
from ledger.trade.tables import Rule, meaning_of, source_words, table_date

CAUTION = (
    "a maker's worksheet from dated tables, not a permit and no advice; ask the office "
    "named here before anything moves"
)

# Age itself, and the steps that conclude from what was looked at before them.
_OF_AGE = frozenset({"staleness", "rows", "law", "parts"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Determination:
    """The answer for one thing under one law, with its rule, row and source."""

    law: str
    taxon: str
    form: str
    answer: str  # needed, not needed or ask
    documents: tuple[Document, ...] = ()
    rule: str
    row: str  # the listing row or rule that decides; empty where none was found
    rows: tuple[str, ...] = ()  # with the text of the annotation
    sources: tuple[str, ...] = ()
    table_date: date
    newest_source: date | None
    # Of the row that decides, and whose it is; empty where none was found.
    confidence: str = ""
    why: str
    ask_whom: str
    note: str = ""  # what the listing row says beside
    is_listed: bool = False
    also: tuple["Determination", ...] = ()  # other laws
    parts: tuple["Determination", ...] = ()  # each part of the thing
    path: tuple[Step, ...] = field(default=(), compare=False)  # how it was judged

    @property
    def source(self) -> str:
        """Return the sources in words."""
        return source_words(self.sources)

    @property
    def open_for_age(self) -> str:
        """Why it is to ask where only the age of the tables leaves it open, or nothing.

        Steps that only draw a conclusion decide nothing else.
        """
        open_at = [step for step in self.path if step.decided == ASK]
        aged = [step.says for step in open_at if step.at == "staleness"]
        others = {step.at for step in open_at} - _OF_AGE
        return aged[-1] if self.answer == ASK and aged and not others else ""

    @property
    def meaning(self) -> str:
        """Return what the form means, so that a person can see whether it fits."""
        return meaning_of(self.form)


def of_rule(
    rule: Rule,
    *,
    answer: str,
    taxon: str,
    form: str,
    ask_whom: str,
    day: date,
    documents: tuple[Document, ...] = (),
    why: str = "",
    steps: tuple[Step, ...] = (),
) -> Determination:
    """Return the answer that a rule beside the listings gives.

    What was never read, or too long ago for the day, frees nothing.

    steps  what was looked at before the rule

    Source: the rule's own sources.
    """
    said, doubt = why or rule.text, doubt_of(rule, day)
    if answer == NOT_NEEDED and doubt:
        answer, said = ASK, f"{said}; but {doubt}"
    return Determination(
        law=rule.law,
        taxon=taxon,
        form=form,
        answer=answer,
        documents=documents,
        rule=rule.id,
        row=rule.id,
        rows=(rule.id,),
        sources=rule.sources,
        table_date=rule.checked_on,
        newest_source=rule.newest_source,
        confidence=least(rule),
        why=said,
        ask_whom=ask_whom,
        path=(*steps, step_on(rule, "law", said, answer)),
    )


def unanswered(
    *, taxon: str, form: str, why: str, ask_whom: str, steps: tuple[Step, ...] = ()
) -> Determination:
    """Return the answer where nothing can be found: ask.

    steps  what was understood before that

    Source: the shop's own caution; what is unknown is never free.
    """
    return Determination(
        law="CITES",
        taxon=taxon,
        form=form,
        answer="ask",
        rule="not understood",
        row="",
        table_date=table_date(),
        newest_source=None,
        why=why,
        ask_whom=ask_whom,
        path=(*steps, Step(at="not understood", says=why, decided="ask")),
    )


def as_whole(parts: tuple[Determination, ...]) -> Determination:
    """Return the answer for a thing of several parts: the part that weighs most.

    One covered part makes papers needed for the whole.

    Source: the Appendices: a specimen is covered whatever it is built into.
    """
    first = min(parts, key=lambda part: ORDER.index(part.answer))
    if len(parts) == 1:
        return first
    documents = [paper for part in parts for paper in part.documents]
    says = (
        f"of {len(parts)} parts {first.taxon} counts most; the documents of all of "
        f"them are needed"
    )
    step = Step(at="parts", says=says, decided=first.answer, row=first.row)
    whole = replace(
        first,
        documents=tuple(dict.fromkeys(documents)),
        is_listed=any(part.is_listed for part in parts),
        also=merged(parts),
        parts=tuple(replace(part, also=()) for part in parts),
        path=(*first.path, step),
    )
    return marked(whole, (step for part in parts for step in part.path))


def marked(said: Determination, steps: Iterable[Step] | None = None) -> Determination:
    """Return an answer that tells of each row of the shop's own that it rests on.

    steps  all that was looked at; without them those of the answer

    Source: the steps.
    """
    looked = said.path if steps is None else steps
    own = dict.fromkeys(step.own for step in looked if step.own)
    if said.confidence:
        told = [mark for mark in own if mark not in said.confidence]
        return replace(said, confidence=AND.join((said.confidence, *told)))
    told = [mark for mark in own if mark not in said.why]
    return replace(said, why=f"{said.why} ({AND.join(told)})") if told else said


def merged(parts: tuple[Determination, ...]) -> tuple[Determination, ...]:
    """Return the answers under other laws, each said once, needed first.

    Source: the rules' own sources.
    """
    found: dict[tuple[str, str], Determination] = {}
    for part in parts:
        for other in part.also:
            found.setdefault((other.rule, other.answer), other)
    return tuple(sorted(found.values(), key=lambda one: ORDER.index(one.answer)))


def as_data(said: Determination, *, with_path: bool = False) -> dict[str, Any]:
    """Return an answer as plain values for a program.

    with_path  also the steps by which it was judged

    Source: the determination.
    """
    path = {"path": path_data(said.path)} if with_path else {}
    return path | {
        "answer": said.answer,
        "law": said.law,
        "taxon": said.taxon,
        "form": said.form,
        "meaning": said.meaning,
        "documents": [
            {"name": paper.name, "from": paper.issuer} for paper in said.documents
        ],
        "rule": said.rule,
        "row": said.row,
        "rows": list(said.rows),
        "source": said.source,
        "source_ids": list(said.sources),
        "table_date": said.table_date.isoformat(),
        "newest_source": said.newest_source and said.newest_source.isoformat(),
        "confidence": said.confidence,
        "why": said.why,
        "note": said.note,
        "listed": said.is_listed,
        "ask_whom": said.ask_whom,
        "caution": CAUTION,
        "also": [as_data(other, with_path=with_path) for other in said.also],
        "parts": [as_data(part, with_path=with_path) for part in said.parts],
    }
