"""flitchbook owner slip: drawn, used by its code, lost, found, and its notice."""

from datetime import timedelta

from labels import picture
from tests.cli.bench import SERIAL, Bench
from tests.labels import reading

SLIP = f"owner slip {SERIAL} --by 12"


def drawn(bench: Bench, name: str = "slip.pdf") -> str:
    """Draw the slip that works; return the code in its square."""
    bench.does(f"{SLIP} --out {name}")
    pdf = (bench.folder / name).read_bytes()
    (code,) = reading.symbols(picture.grey(pdf, page=0, dpi=300))
    return code


def test_the_slip_is_drawn_with_the_code_that_hands_it_on(bench: Bench) -> None:
    """Drawn again it is the same file; the next owner's has another code."""
    bench.does(f"owner register {SERIAL} 'Amélie Rousset' --by 12")
    code = drawn(bench)
    told = bench.data(f"{SLIP} --out again.pdf")
    first, again = (
        (bench.folder / name).read_bytes() for name in ("slip.pdf", "again.pdf")
    )
    assert first == again
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
    assert told["replaced_from"] == "2026-02-04"
    bench.refuses(f"{SLIP} --out other.pdf", "from 2026-02-04 on")
    bench.refuses(
        f"owner slip-notice {SERIAL} --out notice --by 12", "does not open the office"
    )
    bench.does(f"owner slip-notice {SERIAL} --out notice --by 01")
    stem = f"notice/draft-W-2026-00001-{SERIAL}"
    text = (bench.folder / f"{stem}.txt").read_text(encoding="utf-8")
    assert "To: Amélie Rousset" in text and "From 2026-02-04 on" in text
    page = reading.text((bench.folder / f"{stem}.pdf").read_bytes())
    assert "Draft, not sent" in page
    assert code[:8] not in text + page

    bench.does(f"owner slip-found {SERIAL} --by 12")
    assert drawn(bench, "same.pdf") == code
    bench.does(f"owner slip-lost {SERIAL} --by 12")
    bench.at += timedelta(days=30)
    assert drawn(bench, "other.pdf") != code


def test_what_cannot_be_is_refused_and_nothing_is_written(bench: Bench) -> None:
    """No slip, no loss, no place for the paper, no right."""
    bench.refuses(f"owner slip-lost {SERIAL} --by 12", "has no slip yet: draw it")
    bench.refuses(f"owner slip-lost {SERIAL} --letter no.txt --by 12", "no registered")
    bench.refuses(f"owner slip-found {SERIAL} --by 12", "has no slip yet")
    bench.refuses(f"owner slip-notice {SERIAL} --out n --by 01", "no slip of")
    bench.refuses("owner slip 26-0009-1 --out slip.pdf --by 12", "no certificate yet")
    bench.refuses(
        f"owner slip {SERIAL} --out slip.pdf --by 03", "giving a transfer slip its"
    )
    assert bench.run(f"owner slip {SERIAL} --by 12").code == 2
