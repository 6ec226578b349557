"""flitchbook demo: the invented shop, played through and printed."""

import shutil
import sys
import textwrap
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from functools import partial
from hashlib import sha256
from pathlib import Path
from typing import Annotated, Any

import typer

from cli import demo_wood, show
from cli.context import state_folder

# A paper's name, its bytes, and what records that it was printed.
Drawn = tuple[str, bytes, Callable[[str], None]]
OutOption = Annotated[Path, typer.Option(help="A folder that is new or empty.")]
DPI = 150
WOOD = "wood"


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
    from cli.label_page import of_shop
    from cli.record_pages import write_pages
    from demo.scenario import play
    from ledger.acts.copies import publish_keys
    from ledger.acts.exchange import export
    from ledger.acts.giving import give_photographs
    from ledger.acts.outside import begin_anew
    from ledger.audit import audit
    from ledger.errors import TamperError

    typer.echo("Playing the story: a shop, its people, nine lots, three instruments …")
    story = play(out)
    # Every demo has the same log: what was said in another one is not missing here.
    begin_anew(state_folder(), story.shop.standing().origin)
    typer.echo("Drawing its papers …")
    papers = _draw_papers(story, out / "papers")
    pictures = demo_wood.draw(story, out / WOOD)
    for pdf in sorted((out / WOOD).iterdir()):
        _write_pictures(pdf)
    give_photographs(story.shop, story.certificate, out / "photographs")
    keys = publish_keys(story.shop, story.roots[:2])
    shutil.copyfile(keys, out / "keys.json")
    page, _, _ = of_shop(story.shop)
    (out / "verify.html").write_bytes(page)
    export(story.shop, out / "export", draw=write_pages)
    report = audit(story.shop, progress=show.Progress("Auditing"))
    if not report:
        raise TamperError(f"the demo does not audit: {report.findings[0]}")
    text = _summary(story, report, papers, pictures)
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
    written: dict[str, bytes] = {}
    for draw in (_draw_labels, _draw_tag, _draw_owner_papers, _draw_shipment):
        for name, pdf, record in draw(story):
            record(sha256(pdf).hexdigest())
            written[name] = pdf
    for name, pdf in written.items():
        _write_paper(folder / name, pdf)
    return sorted(written)


def _draw_labels(story: Any) -> Iterator[Drawn]:
    from cli import papers
    from labels import label, label_sheet

    shop = story.shop
    with shop.store.reading() as session:
        labels = [papers.board_label(shop, session, code) for code in story.boards]
        first = next(code for code in story.boards if code.startswith(story.lot))
        heading = papers.label_heading(shop, session, first, "Maura Kiely")
    of_lot = [drawn for drawn in labels if drawn.lot == story.lot and drawn.half]
    others = [drawn for drawn in labels if drawn not in of_lot]
    drawn = {
        "labels-roll-203dpi.pdf": (others, label.roll(others, dpi=203)),
        "labels-sheet-A4.pdf": (of_lot, label_sheet.sheet(of_lot, heading, paper="A4")),
    }
    for name, (shown, pdf) in drawn.items():
        yield name, pdf, partial(_labels_printed, story, shown, name)


def _labels_printed(story: Any, shown: Any, paper: str, digest: str) -> None:
    from ledger.acts import boards

    codes, maura = [label.code for label in shown], story.hands("02")
    boards.labels_printed(story.shop, codes, paper=paper, sha256=digest, hands=maura)


def _draw_tag(story: Any) -> Iterator[Drawn]:
    from cli.papers_tag import build_tag
    from labels import tag
    from ledger.acts import builds

    shown = build_tag(story.shop, story.next_serial)

    def record(digest: str) -> None:
        builds.tag_printed(
            story.shop,
            serial=story.next_serial,
            note=shown.checkpoint_note,
            sha256_hex=digest,
            hands=story.hands("03"),
        )

    yield "build-tag.pdf", tag.draw(shown, paper="A5"), record


def _draw_owner_papers(story: Any) -> Iterator[Drawn]:
    from cli import papers
    from cli.papers_evidence import with_evidence
    from labels import card, certificate
    from ledger.acts import certificates

    shop, key = story.shop, story.card_key()
    facts = certificates.certificate_paper(shop, story.certificate)
    text = certificates.card_text(shop, facts, key)
    shown = with_evidence(shop, facts, papers.owner_certificate(shop, facts, text))
    files = {
        "certificate_file": facts.file.data,
        "proof_file": facts.proof_file.encode(),
    }
    drawn = {
        "owner-card.pdf": card.draw(papers.owner_card(shop, facts, text, key.id)),
        "certificate-A4.pdf": certificate.draw(shown, paper="A4", **files),
        "certificate-Letter.pdf": certificate.draw(shown, paper="Letter", **files),
    }
    for name, pdf in drawn.items():
        yield name, pdf, partial(_certificate_printed, story, name)


def _certificate_printed(story: Any, paper: str, digest: str) -> None:
    from ledger.acts import certificates

    certificates.printed(
        story.shop,
        number=story.certificate,
        paper=paper,
        sha256_hex=digest,
        hands=story.hands("01"),
    )


def _draw_shipment(story: Any) -> Iterator[Drawn]:
    from cli.shipment_papers import DRAWN, Case, Kind
    from ledger.acts import shipments
    from ledger.acts.consignments import Addressed
    from ledger.acts.heads import sign_head
    from ledger.acts.signing import find_person
    from ledger.log.checkpoint import parse_checkpoint, parse_note

    note = sign_head(story.shop)
    case = Case(
        shop=story.shop,
        signer=find_person(story.shop, "09"),
        plan=shipments.planned(story.shop, story.shipment),
        head=parse_checkpoint(parse_note(note)),
        addressed=Addressed(recipient=story.recipient),
        size="A4",
    )
    papers: dict[str, Kind] = {
        "materials-list-A4.pdf": "materials",
        "packing-list-A4.pdf": "packing",
        "chain-of-custody-A4.pdf": "custody",
    }
    for name, kind in papers.items():
        pdf = DRAWN[kind](case).pdf
        yield name, pdf, partial(_shipment_printed, story, note, kind)


def _shipment_printed(story: Any, note: str, kind: Any, digest: str) -> None:
    from cli.shipment_papers import PAPERS
    from ledger.acts import shipments

    shipments.paper_printed(
        story.shop,
        number=story.shipment,
        paper=PAPERS[kind],  # type: ignore[arg-type]
        note=note,
        sha256_hex=digest,
        hands=story.hands("09"),
    )


def _write_paper(path: Path, pdf: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(pdf)
    _write_pictures(path)


def _write_pictures(path: Path) -> None:
    """Put a picture of each page beside a paper."""
    from labels import picture

    pdf = path.read_bytes()
    for page in range(picture.pages(pdf)):
        png = picture.png(pdf, page=page, dpi=DPI)
        path.with_name(f"{path.stem}-{page + 1}.png").write_bytes(png)


def _instrument(story: Any, serial: str) -> str:
    """Say in one line what an instrument is, its road and its certificate."""
    from ledger.acts.builds import find_build
    from ledger.views.builds import signed_steps
    from ledger.views.models import plan_of

    with story.shop.store.reading() as session:
        build = find_build(session, serial)
        plan = plan_of(session, build.model, build.version)
        signed = signed_steps(session, serial)
    signers = len({row.key for row in signed})
    return (
        f"  {serial}  {build.model}, {plan.instrument}:\n"
        f"    {len(plan.steps)} steps, {len(signed)} signatures of {signers} people, "
        f"{story.certificates[serial]}"
    )


def _people() -> str:
    """Return who may sign, with their PINs, a line each."""
    from demo import cast

    everybody = (cast.LEAD, cast.OFFICE, *cast.BUILDERS)
    return "\n".join(f"  {b.badge}  PIN {b.pin}  {b.name}" for b in everybody)


def _mishaps(where: str, told: tuple[str, ...]) -> str:
    """Return what was said where something went wrong, under the place or serial."""
    lines = (
        textwrap.fill(each, 78, initial_indent="  - ", subsequent_indent="    ")
        for each in told
    )
    return "\n".join([f" {where}:", *lines])


def _summary(
    story: Any, report: Any, papers: list[str], pictures: list[demo_wood.Picture]
) -> str:
    """Return one page that says what to look at."""
    from demo import cast

    flitchbook, people = program(), _people()
    listed = "\n".join(f"  papers/{name}" for name in papers)
    wood = demo_wood.told(pictures, flitchbook, WOOD)
    instruments = "\n".join(_instrument(story, serial) for serial in story.certificates)
    mishaps = "\n".join(_mishaps(*each) for each in story.mishaps.items())
    return f"""{cast.SHOP}, {cast.PLACE}: an invented shop
Nobody and nothing here exists. This is what to look at.

Three instruments were built, each on the whole road of its family:
{instruments}

The first was sent abroad as shipment {story.shipment}; another like it,
{story.next_serial}, is on the bench. Their papers:
{listed}

What went wrong on the way, and what was said:
{mishaps}

The commands below are typed in this folder.

A stranger checks it with the shop's keys file, in any folder, without the shop:
  {flitchbook} certificate check papers/certificate-A4.pdf --keys keys.json
Or in a browser, with no network: open verify.html, and the certificate in it;
then compare one of the pictures in photographs/, which the certificate names.

Where its wood came from, and the whole record judged:
  {flitchbook} trace {story.serial} --shop shop
  {flitchbook} build hands {story.serial} --shop shop
  {flitchbook} build promised {story.serial} --shop shop
  {flitchbook} board show {story.chosen} --shop shop
  {flitchbook} record audit --shop shop

How the wood was judged: pictures, each with the command that draws it (--out):
{wood}

The same record as plain files, readable without this program: export/
Root before the first paper was printed: {story.root}
Now: {report.size} entries, root {report.root.hex()}

Who may sign, with the PINs of this demonstration:
{people}
The root sticks are in sticks/, their pass-phrases: the first, the second and
the third of three sticks.
"""
