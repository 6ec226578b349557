"""flitchbook owner slip: drawn, used by its code, lost, found, and its notice."""

import shutil
from datetime import timedelta

from labels import picture
from tests.cli.bench import SERIAL, Bench
from tests.labels import overlaps, reading

SLIP = f"owner slip {SERIAL} --by 12"


AGAIN = "--again --why 'a spoilt print' --approve 01"


def drawn(bench: Bench, name: str = "slip.pdf", more: str = "") -> str:
    """Draw the slip that works; return the code in its square."""
    bench.does(f"{SLIP} --out {name} {more}")
    pdf = (bench.folder / name).read_bytes()
    (code,) = reading.symbols(picture.grey(pdf, page=0, dpi=300))
    return code


def test_the_slip_is_drawn_with_the_code_that_hands_it_on(bench: Bench) -> None:
    """Drawn again it has a newer checkpoint; the next owner's has another code."""
    bench.does(f"owner register {SERIAL} 'Amélie Rousset' --by 12")
    code = drawn(bench)
    bench.refuses(f"{SLIP} --out again.pdf", "was printed already, and its code")
    bench.refuses(f"{SLIP} --out again.pdf --again --why x", "needs a lead's hands")
    assert bench.run(f"{SLIP} --out again.pdf --again").code == 2
    told = bench.data(f"{SLIP} --out again.pdf {AGAIN}")
    first, again = (
        (bench.folder / name).read_bytes() for name in ("slip.pdf", "again.pdf")
    )
    assert reading.text(first) == reading.text(again)
    assert reading.text(first, page=1) != reading.text(again, page=1)
    modes = {path.stat().st_mode & 0o777 for path in bench.folder.glob("*.pdf")}
    assert modes == {0o600}
    assert (told["slip"], told["serial"]) == ("W-2026-00001", SERIAL)
    text = reading.text(first)
    for said in ("W-2026-00001", "C-2026-00001", SERIAL, "Tidewarden", "Skerrymoor"):
        assert said in text

    said = bench.does(
        f"owner transfer {SERIAL} --slip {code.lower()} --to 'Kenji Arakawa' --by 12"
    )
    assert "Slip W-2026-00001 is used up; W-2026-00002 is the next" in said
    assert "Arakawa" not in said
    assert drawn(bench, "next.pdf") != code
    bench.refuses(
        f"owner transfer {SERIAL} --slip {code} --to 'A thief' --by 12",
        "slip W-2026-00001 was used by entry",
    )


def test_a_slip_of_a_year_ago_convicts_an_older_ledger(bench: Bench) -> None:
    """Typed from its back, by its note or its words; the whole log holds them."""
    shutil.copytree("shop", "older")
    told = bench.data(f"{SLIP} --out slip.pdf")
    assert bench.data("shop show")["outside"]["size"] == told["size"]
    back = overlaps.words((bench.folder / "slip.pdf").read_bytes(), page=1)
    lines = [each.text for each in back]
    start, end = lines.index(str(told["size"])), len(lines) - 5
    assert lines[end].startswith("The same, to type: flitchbook record audit --agai")
    text = "".join(lines[start + 1 : end])
    note = f"{lines[start - 1]}\n{told['size']}\n{text[:44]}\n\n{text[44:]}\n"
    bench.file("typed", note)

    for said in ("typed", f"'{' '.join(lines[end + 1 :])}'"):
        audit = f"record audit --level tree --against {said}"
        bench.patch.setenv("FLITCHBOOK_STATE", "another-account")
        assert "Compared with a checkpoint of " in bench.does(audit)
        bench.patch.setenv("FLITCHBOOK_STATE", "a-third-account")
        older = bench.run(f"{audit} --shop older")
        assert (older.code, older.out[:8]) == (1, "CHANGED:")
        assert f"proves that {told['size']} entries existed" in older.out


def test_it_speaks_the_language_that_is_asked_for(bench: Bench) -> None:
    """Else the shop's own."""
    bench.does(f"{SLIP} --out slip.pdf --language de")
    assert "Übergabeschein" in reading.text((bench.folder / "slip.pdf").read_bytes())


def test_a_lost_slip_is_replaced_after_its_notice(bench: Bench) -> None:
    """The notice is drafted for the office alone, and an objection ends it."""
    bench.does(f"owner register {SERIAL} 'Amélie Rousset' --by 12")
    code = drawn(bench)
    bench.file("letter.txt", "I lost it in the move.")
    told = bench.data(f"owner slip-lost {SERIAL} --letter letter.txt --by 12")
    bench.refuses(f"{SLIP} --out other.pdf", f"(entry {told['entry']}): write to")
    bench.refuses(
        f"owner slip-notice {SERIAL} --out notice --by 12", "does not open the office"
    )
    bench.does(f"owner slip-notice {SERIAL} --out notice --by 01")
    stem = f"notice/draft-W-2026-00001-{SERIAL}"
    text = (bench.folder / f"{stem}.txt").read_text(encoding="utf-8")
    assert "To: Amélie Rousset" in text and "and not before 2026-02-04, we" in text
    for path in (bench.folder / "notice").iterdir():
        assert path.stat().st_mode & 0o777 == 0o600
    page = reading.text((bench.folder / f"{stem}.pdf").read_bytes())
    assert "Draft, not sent" in page
    assert code[:8] not in text + page

    bench.does(f"owner slip-found {SERIAL} --by 12")
    assert drawn(bench, "same.pdf", AGAIN) == code
    bench.refuses(f"owner slip-lost {SERIAL} --by 12", "lost by its owner's word")
    bench.file("second.txt", "It is gone.")
    bench.does(f"owner slip-lost {SERIAL} --letter second.txt --by 12")
    sent = bench.data(f"owner slip-notice-sent {SERIAL} --by 12")
    assert sent["replaced_from"] == "2026-02-04"
    (works,) = bench.data(f"owner show {SERIAL} --by 12")["slips"]
    assert (works["lost_on"], works["notice_on"]) == ("2026-01-05", "2026-01-05")
    bench.refuses(f"{SLIP} --out other.pdf", "from 2026-02-04 on")
    bench.at += timedelta(days=30)
    assert drawn(bench, "other.pdf") != code


def test_a_lost_slip_hands_on_with_a_second_yes_and_both_are_told(
    bench: Bench,
) -> None:
    """Its code may be asked for at the keyboard's place, a pin file."""
    code = drawn(bench)
    bench.does(f"owner slip-lost {SERIAL} --by 12 --approve 01")
    pins = bench.folder / "pins"
    text = pins.read_text(encoding="utf-8")
    pins.write_text(f"{text}\nslip {code}\n", encoding="utf-8")
    hand_on = f"owner transfer {SERIAL} --to 'Kenji Arakawa' --by 12"
    bench.refuses(hand_on, "W-2026-00001 was said to be lost, entered by")
    said = bench.run(f"{hand_on} --slip - --approve 01")

    assert said.code == 0
    assert said.err.startswith("That slip was said to be lost, entered by ")
    assert "Slip W-2026-00001 is used up" in said.out
    assert code not in said.out + said.err


def test_what_cannot_be_is_refused_and_nothing_is_written(bench: Bench) -> None:
    """No slip, no loss, no place for the paper, no right."""
    bench.refuses(f"owner slip-lost {SERIAL} --by 12", "has no slip yet: draw it")
    bench.refuses(f"owner slip-found {SERIAL} --by 12", "has no slip yet")
    bench.refuses(f"owner slip-notice {SERIAL} --out n --by 01", "no slip of")
    bench.refuses("owner slip 26-0009-1 --out slip.pdf --by 12", "no certificate yet")
    bench.refuses(
        f"owner slip {SERIAL} --out slip.pdf --by 03", "giving a transfer slip its"
    )
    assert bench.run(f"owner slip {SERIAL} --by 12").code == 2
