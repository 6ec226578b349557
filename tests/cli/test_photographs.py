"""What a camera wrote beside a picture is not filed, whatever command files it."""

from hashlib import sha256

from tests.cli.bench import Bench
from tests.ledger.acts.photographed import photographed, scanned

TOLD = "what the camera wrote beside the picture, such as where it was, is not filed"


def test_every_command_that_files_says_what_it_takes_out(bench: Bench) -> None:
    """A board's, one of service, one of a part that came off; a bare one needs none."""
    bench.file("top.jpg", photographed())
    bench.file("crack.png", scanned())
    for command, file in (
        ("board photograph L26-001-01.A top.jpg --by 02", "top.jpg"),
        ("instrument service 26-0001-8 cleated --photo crack.png --by 01", "crack.png"),
        (
            "instrument remove-part 26-0001-8 top --fate kept --why split "
            "--photo top.jpg --by 01",
            "top.jpg",
        ),
    ):
        said = bench.does(command)
        assert said.splitlines()[-1] == f"note: {file}: {TOLD}"
    kept = [path.read_bytes() for path in (bench.folder / "shop/attachments").iterdir()]

    assert not [data for data in kept if b"Aoife Kiely" in data]


def test_a_bare_picture_is_filed_without_a_word(bench: Bench) -> None:
    """And a file is known again, with a camera's words or without."""
    whole = scanned()
    bench.file("whole.png", whole)
    told = bench.data("board photograph L26-001-01.A whole.png --by 02")
    kept = (bench.folder / "shop/attachments" / told["sha256"]).read_bytes()
    bench.file("bare.png", kept)
    said = bench.does("board photograph L26-001-01.B bare.png --by 02")

    assert sha256(kept).hexdigest() == told["sha256"]
    assert "note: bare.png was on file already" in said and TOLD not in said
    again = bench.does("board photograph L26-001-01.B whole.png --by 02")
    assert "note: whole.png was on file already" in again and TOLD in again
