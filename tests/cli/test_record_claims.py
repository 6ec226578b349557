"""flitchbook record claims: every entry that names a code."""

from tests.cli.bench import SERIAL, Bench


def test_every_entry_that_names_a_code_is_listed(bench: Bench) -> None:
    """Typed or scanned; each with who said it and when."""
    told = bench.data("record claims L26-002-01")
    said = bench.does("record claims L26-002-01")
    kinds = [claim["kind"] for claim in told["claims"]]

    assert kinds == ["board.numbered", "board.allotted", "certificate.issued"]
    assert said.splitlines()[1] == (
        f"  entry {told['claims'][0]['entry']}  board.numbered L26-002-01, Maura "
        f"Kiely, {told['claims'][0]['entered']}"
    )
    assert SERIAL in bench.does(f"record claims S/{SERIAL}")
    assert "build.begun" in bench.does("record claims B26-0001")


def test_a_code_that_nobody_named_is_not_found(bench: Bench) -> None:
    """And what is no code is refused."""
    bench.refuses("record claims L26-009", "no entry names L26-009")
    bench.refuses("record claims nonsense", "is no code of this shop")
