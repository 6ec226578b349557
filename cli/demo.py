"""flitchbook demo: the invented shop, played through and printed."""

import shutil
import sys
from contextlib import ExitStack
from hashlib import sha256
from pathlib import Path
from typing import Annotated, Any

import typer

from cli import show

OutOption = Annotated[Path, typer.Option(help="A folder that is new or empty.")]
DPI = 150


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command()(demo)


def demo(out: OutOption) -> None:
    """Play the invented shop into a folder, and print its papers."""
    from ledger.errors import RefusedError

    if out.exists() and not out.is_dir():
        raise RefusedError(f"{out} is a file: name a new folder with --out")
    if out.exists() and any(out.iterdir()):
        raise RefusedError(f"{out} is not empty: name a new folder with --out")
    with ExitStack() as undo:
        undo.callback(shutil.rmtree, out, ignore_errors=True)
        text = _play(out)
        undo.pop_all()
    typer.echo("")
    typer.echo(text)


def _play(out: Path) -> str:
    """Play, draw, publish, export and audit; return what START-HERE says."""
    from demo.scenario import play
    from ledger.acts.copies import publish_keys
    from ledger.acts.exchange import export
    from ledger.audit import audit
    from ledger.errors import TamperError

    typer.echo("Playing the story: a shop, its people, four lots, one guitar …")
    story = play(out)
    typer.echo("Drawing its papers …")
    papers = _draw_papers(story, out / "papers")
    keys = publish_keys(story.shop, story.roots[:2])
    shutil.copyfile(keys, out / "keys.json")
    export(story.shop, out / "export")
    report = audit(story.shop, progress=show.Progress("Auditing"))
    if not report:
        raise TamperError(f"the demo does not audit: {report.findings[0]}")
    text = _summary(story, report, papers)
    (out / "START-HERE.txt").write_text(text, encoding="utf-8")
    story.shop.close()
    return text


def program() -> str:
    """Return what to type for this program: its name, or its path where that fails."""
    return (
        "flitchbook" if shutil.which("flitchbook") else str(Path(sys.argv[0]).resolve())
    )


def _draw_papers(story: Any, folder: Path) -> list[str]:
    """Draw every paper as PDF and picture, and record that it was printed."""
    from cli import papers
    from labels import card, certificate, label
    from ledger.acts import certificates, wood

    shop, lead, maura = story.shop, story.hands("01"), story.hands("02")
    with shop.store.reading() as session:
        labels = [papers.board_label(shop, session, code) for code in story.boards]
        first = next(code for code in story.boards if code.startswith(story.lot))
        heading = papers.label_heading(shop, session, first, "Maura Kiely")
    of_lot = [drawn for drawn in labels if drawn.lot == story.lot and drawn.half]
    others = [drawn for drawn in labels if drawn not in of_lot]
    drawn = {
        "labels-roll-203dpi.pdf": (others, label.roll(others, dpi=203)),
        "labels-sheet-A4.pdf": (of_lot, label.sheet(of_lot, heading, paper="A4")),
    }
    for name, (shown_labels, pdf) in drawn.items():
        wood.labels_printed(
            shop,
            [shown.code for shown in shown_labels],
            paper=name,
            sha256=sha256(pdf).hexdigest(),
            hands=maura,
        )
    facts = certificates.certificate_paper(shop, story.certificate)
    key = story.card_key()
    text = certificates.card_text(shop, facts, key)
    shown = papers.owner_certificate(shop, facts, text)
    files = {
        "certificate_file": facts.file.data,
        "proof_file": facts.proof_file.encode(),
    }
    owner = {
        "owner-card.pdf": card.draw(papers.owner_card(facts, text, key.id)),
        "certificate-A4.pdf": certificate.draw(shown, paper="A4", **files),
        "certificate-Letter.pdf": certificate.draw(shown, paper="Letter", **files),
    }
    for name, pdf in owner.items():
        certificates.printed(
            shop,
            number=story.certificate,
            paper=name,
            sha256_hex=sha256(pdf).hexdigest(),
            hands=lead,
        )
    written = {name: pdf for name, (_, pdf) in drawn.items()} | owner
    for name, pdf in written.items():
        _write_paper(folder / name, pdf)
    return sorted(written)


def _write_paper(path: Path, pdf: bytes) -> None:
    from labels import picture

    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(pdf)
    for page in range(picture.pages(pdf)):
        png = picture.png(pdf, page=page, dpi=DPI)
        path.with_name(f"{path.stem}-{page + 1}.png").write_bytes(png)


def _summary(story: Any, report: Any, papers: list[str]) -> str:
    """Return one page that says what to look at."""
    from demo import cast

    flitchbook = program()
    people = "\n".join(
        f"  {b.badge}  PIN {b.pin}  {b.name}"
        for b in (cast.LEAD, cast.OFFICE, *cast.BUILDERS)
    )
    listed = "\n".join(f"  papers/{name}" for name in papers)
    return f"""{cast.SHOP}, {cast.PLACE}: an invented shop
Nobody and nothing here exists. This is what to look at.

One guitar, {story.serial}, with the certificate {story.certificate}:
{listed}

The commands below are typed in this folder.

A stranger checks it with the shop's keys file, in any folder, without the shop:
  {flitchbook} certificate check papers/certificate-A4.pdf --keys keys.json

Where its wood came from, and the whole record judged:
  {flitchbook} trace {story.serial} --shop shop
  {flitchbook} record audit --shop shop

The same record as plain files, readable without this program: export/
Root before the first paper was printed: {story.root}
Now: {report.size} entries, root {report.root.hex()}

Who may sign, with the PINs of this demonstration:
{people}
The root sticks are in sticks/, their pass-phrases: the first, the second and
the third of three sticks.
"""
