"""The emblem that shop.toml names is on the papers, or they are laid out without it."""

import pytest

from tests.cli.bench import SERIAL, Bench
from tests.labels.test_emblem import SKERRY, dots

CARD = f"label card {SERIAL} --out card.pdf --by 01"


def plain(bench: Bench) -> bytes:
    """Return the card without an emblem, and take it away."""
    bench.does(CARD)
    path = bench.folder / "card.pdf"
    data = path.read_bytes()
    path.unlink()
    return data


@pytest.mark.parametrize(("name", "data"), [("a.svg", SKERRY), ("b.png", dots())])
def test_an_emblem_in_the_shop_s_folder_is_drawn(
    bench: Bench, name: str, data: bytes
) -> None:
    """Of either kind."""
    before = plain(bench)
    bench.file(f"shop/{name}", data)
    bench.setting(emblem=name)
    bench.does(CARD)
    assert (bench.folder / "card.pdf").read_bytes() != before


@pytest.mark.parametrize(
    ("name", "data", "why"),
    [
        ("gone.svg", None, "cannot be opened: the paper is laid out without it"),
        (
            "cut.svg",
            SKERRY[:100],
            "is cut off before its end: save it again; the paper",
        ),
        ("cut.png", dots()[:90], "cannot be read as a PNG"),
        ("large.png", b"\x89PNG" + bytes(500_000), "500000 are the most"),
    ],
)
def test_without_a_fit_emblem_the_paper_is_drawn_all_the_same(
    bench: Bench, name: str, data: bytes | None, why: str
) -> None:
    """One sentence on the side says why."""
    before = plain(bench)
    if data is not None:
        bench.file(f"shop/{name}", data)
    bench.setting(emblem=name)
    said = bench.run(CARD)

    assert said.code == 0 and why in said.err and said.err.count("\n") == 1
    assert (bench.folder / "card.pdf").read_bytes() == before


@pytest.mark.parametrize("name", ["../a.svg", "/etc/a.png", "emblem.gif", "svg"])
def test_what_is_no_emblem_of_the_shop_s_folder_is_refused(
    bench: Bench, name: str
) -> None:
    """With what to write instead."""
    toml = bench.folder / "shop" / "shop.toml"
    text = toml.read_text(encoding="utf-8").replace('emblem = ""', f'emblem = "{name}"')
    toml.write_text(text, encoding="utf-8")
    said = bench.run("shop show")
    assert said.code == 1
    assert 'put it there, and write such as emblem = "emblem.svg"' in said.err
