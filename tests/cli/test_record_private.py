"""flitchbook record private counts what is kept, and tells no name."""

from tests.cli.bench import SERIAL, Bench


def test_what_is_kept_of_a_person_is_counted(bench: Bench) -> None:
    """Before the erasing what would go, and after it what is left."""
    before = bench.does("record private Wolański")
    assert "badge 03: the vault keeps\n  person.name: 1\n" in before
    assert "The name stands in no entry." in before
    assert "Wolański" not in before
    bench.does("person erase 03 --by 12 --approve 01")
    after = bench.does("record private 03")

    assert "badge 03: erased by entry" in after
    assert "badge 03: the vault keeps nothing" in after
    assert "signatures, which all verify" in after


def test_what_is_kept_of_an_owner_and_a_sawyer_is_counted(bench: Bench) -> None:
    """An owner is named by the serial, and the name is sealed for the office."""
    bench.refuses(f"record private {SERIAL} --owner 1", "has no registered owner")
    bench.does(f"owner register {SERIAL} 'Amélie Rousset' --by 12")
    owner = bench.data(f"record private {SERIAL} --owner 1")
    sawyer = bench.data("record private Ferrante")

    assert owner["fields"] == [{"count": 1, "field": "owner.name", "sealed": 1}]
    assert owner["plain"] is None
    assert (sawyer["who"], sawyer["plain"], sawyer["newest_copy"]) == (
        "sawyer",
        [],
        None,
    )
    bench.refuses("record private Nobody", "no person and no sawyer: give a badge")


def test_each_owner_and_each_claimant_is_asked_about(bench: Bench) -> None:
    """By the numbers that owner show counts; an owner's claim is another name."""
    bench.does(f"owner register {SERIAL} 'Amélie Rousset' --by 12")
    bench.does(f"owner theft {SERIAL} --claimant 'Aldous Ferrante' --by 01")
    ask = f"record private {SERIAL}"
    owner, claimant = bench.data(f"{ask} --owner 1"), bench.data(f"{ask} --claimant 1")

    assert (owner["who"], claimant["who"]) == ("owner", "claimant")
    assert owner["subject"] != claimant["subject"]
    assert [row["field"] for row in claimant["fields"]] == ["claimant.name"]
    bench.refuses(f"{ask} --owner 2", "has had 1 owner, and no owner 2")
    bench.refuses(f"{ask} --claimant 2", "has no report 2")
    assert bench.run(f"{ask} --owner 1 --claimant 1").code == 2


def test_a_copy_that_keeps_the_name_is_named(bench: Bench) -> None:
    """What was copied before still holds it."""
    bench.does("record backup copy")

    assert "so do copies made before, such as" in bench.does("record private 03")
