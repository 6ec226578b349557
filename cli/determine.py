"""flitchbook determine: what papers a thing asks for before it crosses a border."""

import sys
from collections.abc import Iterator
from json import JSONDecodeError, loads
from pathlib import Path
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, JsonOption, ShopOption
from ledger.errors import RefusedError

LARGEST_BYTES = 8 * 1024 * 1024
STDIN = Path("-")
FileArgument = Annotated[
    Path, typer.Argument(help="A file with one question or a list; - reads the input.")
]
ExplainOption = Annotated[
    bool, typer.Option("--explain", help="Show each step by which it was judged.")
]


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command()(determine)


def determine(
    file: FileArgument,
    shop: ShopOption = None,
    json: JsonOption = False,
    explain: ExplainOption = False,
) -> None:
    """Tell which papers a wood, bone or shell asks for.

    It does so for the way that the thing goes, and says why.

    The file holds one question as JSON, a list of them, or an object with "cases".

    {"taxon": "Dalbergia latifolia", "form": "finished_instruments",
    "date": "2026-12-01", "legs": ["FR", "JP"], "purpose": "sale"}

    It may say as well: acquired, origin, owner_changes, mass_mg, hts_number, and
    "parts", a list of {taxon, form, mass_mg} for what is built in. Where the origin
    is one of several countries, it has "may_be_from": ["ID", "MG"]. In place of legs
    it may have "from": "FR", "to": "JP"; without "from" it sets out from the own
    country of the shop that --shop names. In place of legs and purpose it may have
    one line: "movement": "US -> EU -> US, no sale"; what crosses no border is
    "inside US, sale".

    For the declaration of the United States: plant_ppm, how much of the product's
    weight is plant, 50000 for 5 %; entry_plant_mass_mg, the plant material of all
    products under its heading in the entry, 2900000 for 2.9 kg. Both together may
    free it.

    The forms of wood: logs, sawn_wood, veneer_sheets, plywood,
    transformed_wood_4409, wood_chips, powder, extracts, unfinished_shaped_parts,
    finished_instrument_parts, finished_instrument_accessories, finished_instruments,
    other_finished_products. Of bone, shell and skin: raw, part, inlay, finished,
    skin, shell.

    With --shop, or FLITCHBOOK_SHOP, it goes by the shop's own rows too; else by the
    tables that come with the program. It says which of them answered.

    The answer is needed, not needed or ask, from tables with a date. It is a maker's
    worksheet and no permit: the office named in it decides.
    """
    asked, named = read_json(file), _shop(shop)
    edition = _edition(named)
    if isinstance(asked, dict) and "cases" in asked:
        asked = asked["cases"]
    if isinstance(asked, list):
        many = list(_answers(asked, explain, edition.law, named))
        said: dict[str, Any] = {"determinations": many}
        told, caution = list(_list_lines(many)), many[0]["caution"]
    else:
        said = _answer(asked, explain, edition.law, named)
        told, caution = list(_lines(said)), said["caution"]
    if json:
        data = {**said, "edition": _edition_data(edition)}
        told = [show.json_text(data)]
    else:
        told += ["", f"tables: {edition.words}", _sentence(caution)]
    for line in told:
        typer.echo(show.safe(line))


def _shop(folder: Path | None) -> Any:
    """Return the shop in a folder, or None where none is named."""
    return None if folder is None else Desk(shop=folder, json=False).shop


def _edition(shop: Any) -> Any:
    """Return the tables to go by: of the shop, else of the program."""
    from ledger.acts.reviewing import edition_of

    return edition_of(shop)


def _edition_data(edition: Any) -> dict[str, Any]:
    """Return which tables answered, for a program."""
    from ledger.trade.edition import tables_sha256

    adopted = edition.adopted
    return {
        "of_shop": edition.is_of_shop,
        "overlay": adopted and adopted.overlay.name,
        "entry": adopted and adopted.entry,
        "tables_sha256": tables_sha256(edition.law),
    }


def _answer(asked: object, explain: bool, law: Any, shop: Any) -> dict[str, Any]:
    from ledger.acts.departing import with_start
    from ledger.trade.answers import as_data
    from ledger.trade.determination import determine as answer
    from ledger.trade.question import question_from

    whole, start = with_start(asked, shop)
    said = as_data(answer(question_from(whole), law=law), with_path=explain)
    return said | {"start": start and {"country": start.country, "of_shop": True}}


def _answers(
    asked: list[object], explain: bool, law: Any, shop: Any
) -> Iterator[dict[str, Any]]:
    """Yield the answer to each question of a list, with the id it came with."""
    if not asked:
        raise RefusedError("the list holds no question; write one as --help shows it")
    for number, question in enumerate(asked, start=1):
        try:
            said = _answer(question, explain, law, shop)
        except RefusedError as fault:
            raise RefusedError(f"question {number}: {fault}") from None
        mark = question.get("id") if isinstance(question, dict) else None
        yield {"id": mark if isinstance(mark, str) else str(number), **said}


def _lines(said: dict[str, Any]) -> Iterator[str]:
    """Yield an answer for a person: the word first."""
    from ledger.trade.confidence import confidence_words
    from ledger.trade.documents import office_words

    yield f"{said['answer']}: {said['taxon']}, {_spoken(said['form'])}"
    if said["start"]:
        yield f"  from    {_start(said)}"
    yield f"  why     {said['why']}"
    if said["note"]:
        yield f"  note    {said['note']}"
    if said["meaning"]:
        yield f"  means   {said['meaning']}"
    for paper in said["documents"]:
        yield f"  paper   {paper['name']}, from {office_words(paper['from'])}"
    if said["row"]:
        seen = said["newest_source"] or "none"
        yield f"  rule    {said['law']}, {said['rule']}; row {said['row']}"
        yield f"  source  {said['source']}"
        yield f"  dates   compiled {said['table_date']}, newest source seen {seen}"
        yield f"  row     {confidence_words(said['confidence'])}"
    yield f"  ask     {office_words(said['ask_whom'])}"
    for part in said["parts"]:
        yield f"  part    {part['answer']}: {part['taxon']}, {_spoken(part['form'])}"
        yield f"          {part['why']}"
    yield from _other_lines(said)
    yield from _ways(said)


def _start(said: dict[str, Any]) -> str:
    """Say whence it sets out where the shop said so."""
    from ledger.trade.movement import place_words

    return f"{place_words(said['start']['country'])}, the shop's own country"


def _other_lines(said: dict[str, Any]) -> Iterator[str]:
    """Yield what other laws ask."""
    from ledger.trade.confidence import confidence_words
    from ledger.trade.documents import office_words

    for other in said["also"]:
        yield f"  also    {other['answer']}: {other['law']}, {other['why']}"
        if other["row"]:
            checked = confidence_words(other["confidence"])
            yield f"          row {other['row']}: {checked}"
        for paper in other["documents"]:
            yield f"          {paper['name']}, from {office_words(paper['from'])}"
        yield f"          ask {office_words(other['ask_whom'])}"


def _ways(said: dict[str, Any]) -> Iterator[str]:
    """Yield the steps to an answer: of each part, then of each other law."""
    if "path" not in said:
        return
    ways = [
        (f"{part['taxon']}, {_spoken(part['form'])}", part["path"])
        for part in said["parts"] or [said]
    ]
    if said["parts"]:
        # The whole goes on from the part that counts most by a step of its own.
        ways.append(("the whole", said["path"][-1:]))
    ways += [
        (f"{other['law']}, {other['rule']}", other["path"]) for other in said["also"]
    ]
    for of, path in ways:
        yield ""
        yield f"the way to the answer: {of}"
        for number, step in enumerate(path, start=1):
            yield from _step_lines(number, step)


def _step_lines(number: int, step: dict[str, Any]) -> Iterator[str]:
    """Yield a step: what was looked at, what it decided, and the row it rests on."""
    decided = f" => {step['decided']}" if step["decided"] else ""
    yield f"  {number:>2}  {step['step']:<14}  {step['says']}{decided}"
    if step["row"]:
        own = f"; {step['own']}" if step["own"] else ""
        yield f"{'':<22}row {step['row']}{_days(step)}{own}"


def _days(step: dict[str, Any]) -> str:
    """Return on which days a row stands; nothing where it is open at both ends."""
    first = f" from {step['valid_from']}" if step["valid_from"] else ""
    last = f" until {step['valid_until']}" if step["valid_until"] else ""
    return f"{first}{last}"


def _list_lines(many: list[dict[str, Any]]) -> Iterator[str]:
    """Yield many answers, each in one line and its reason."""
    from ledger.trade.confidence import confidence_words
    from ledger.trade.documents import office_words

    for said in many:
        mark = said["id"][:40]
        shown = mark if mark.isprintable() else "?"
        yield f"{shown}  {said['answer']}: {said['taxon']}, {_spoken(said['form'])}"
        if said["start"]:
            yield f"    from {_start(said)}"
        yield f"    {said['why']}"
        for paper in said["documents"]:
            yield f"    {paper['name']}, from {office_words(paper['from'])}"
        if said["row"]:
            yield f"    row {said['row']}: {confidence_words(said['confidence'])}"
        yield f"    ask {office_words(said['ask_whom'])}"
        for other in said["also"]:
            yield f"    also {other['answer']}: {other['law']}, {other['why']}"
            if other["row"]:
                checked = confidence_words(other["confidence"])
                yield f"         row {other['row']}: {checked}"
        yield from (f"    {line}".rstrip() for line in _ways(said))


def _spoken(form: str) -> str:
    return form.replace("_", " ")


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def read_json(file: Path) -> Any:
    """Read the JSON of a file, of a size a person may have written."""
    data = _bytes(file)
    if len(data) > LARGEST_BYTES:
        raise RefusedError(
            f"{file} is larger than {LARGEST_BYTES} bytes; a question has a few lines"
        )
    try:
        return loads(
            data.decode("utf-8-sig"),
            object_pairs_hook=_once,
            parse_constant=_no_number,
        )
    except UnicodeDecodeError:
        raise RefusedError(f"{file} is no text in UTF-8; save it as UTF-8") from None
    except RecursionError:
        raise RefusedError(
            f"{file} is nested too deep to be a question; write it as --help shows it"
        ) from None
    except JSONDecodeError as fault:
        raise RefusedError(
            f"{file} is no whole JSON: line {fault.lineno}, sign {fault.colno} goes on "
            f"as no JSON does; see whether it was cut off"
        ) from None
    except ValueError:
        raise RefusedError(
            f"{file} holds a number of too many digits; write the mass in milligrams"
        ) from None


def _bytes(file: Path) -> bytes:
    """Return what a file holds, up to one byte more than is allowed."""
    if file == STDIN:
        return sys.stdin.buffer.read(LARGEST_BYTES + 1)
    return show.read_file(file, most=LARGEST_BYTES)


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Return an object in which every field is said once."""
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        shown = ascii(twice[:40])
        raise RefusedError(f"the field {shown} is said twice; say it once")
    return found


def _no_number(text: str) -> Any:
    raise RefusedError(f"{text} is no number; leave the field out where it is unknown")
