"""flitchbook shop room-log: a logger's file, filed and told day by day."""

import pytest

from tests.cli.bench import Bench

LOG = "shop room-log log.csv --room crib --by 02"
HOURS = [
    f"0{1 + n // 24}.01.2026 {n % 24:02d}:00;20,{n % 7};4{n % 5},5" for n in range(96)
]


def log(bench: Bench, rows: list[str], header: str = "Zeit;Temp (°C);rF %") -> None:
    """Write what a logger gave."""
    bench.file("log.csv", "\n".join([header, *rows, ""]))


@pytest.fixture
def logger(bench: Bench) -> Bench:
    """Give a bench with a logger's file of four days."""
    log(bench, HOURS)
    return bench


def test_a_log_is_told_day_by_day(logger: Bench) -> None:
    """With what the air gives to wood; the entry bears the days."""
    said = logger.does(LOG).replace("\u2009", " ")

    assert said.startswith("crib: 4 days, 2026-01-01 to 2026-01-04, entry ")
    assert "2026-01-01  20.3 °C, 42 %RH (40 to 44), gives wood 8.1 %; 24 rea" in said
    assert "note: the file is UTF-8" in said
    logger.refuses(LOG, "this file was filed as the log of crib by entry")


def test_a_dry_run_records_nothing(logger: Bench) -> None:
    """And tells the same."""
    before = logger.all_that_is_kept()
    dry = logger.data(f"{LOG} --dry-run")
    said = logger.does(f"{LOG} --dry-run")

    assert logger.all_that_is_kept() == before
    assert dry["entries"] == [] and "nothing recorded" in said
    done = logger.data(LOG)
    assert done["days"] == dry["days"] and len(done["entries"]) == 1
    assert (done["readings"], done["columns"][0]) == (96, ["Zeit", "time", ""])


def test_of_many_days_the_last_are_shown(logger: Bench) -> None:
    """And a program is told all of them."""
    log(
        logger,
        [f"{n % 28 + 1:02d}.{n // 28 + 1:02d}.2025 10:00;20,1;44" for n in range(300)],
    )
    said = logger.does(f"{LOG} --dry-run")

    assert "the last 7 of them:" in said and said.count("gives wood") == 7
    assert len(logger.data(f"{LOG} --dry-run")["days"]) == 300
    assert len(logger.data(LOG)["entries"]) == 2


def test_what_the_file_leaves_open_is_said(logger: Bench) -> None:
    """Which column, which unit, which figure is the day."""
    rows = [f"03/02/2025 1{n}:00;68;44;3" for n in range(5)]
    log(logger, rows, "when;T2;damp;x")
    told = "--column temperature=T2 --column humidity=damp --column moment=when"
    logger.refuses(f"{LOG} {told}", "say --unit temperature=C, or F")
    logger.refuses(f"{LOG} {told} --unit temperature=F", "--dates day-first")
    done = logger.data(f"{LOG} {told} --unit temperature=F --dates day-first")

    assert [day["day"] for day in done["days"]] == ["2025-02-03"]
    assert done["days"][0]["temperature_millikelvin"] == 293_150
    assert logger.does("record audit").startswith("whole")


@pytest.mark.parametrize(
    ("rows", "options", "why"),
    [
        (["06.01.2026 10:00;20;44"], "", "and today is 2026-01-05"),
        (
            [f"0{n}.01.2026 10:00;{68 if n % 2 else 20};44" for n in range(1, 6)],
            "",
            "write one unit in the whole log",
        ),
        (HOURS, "--column temperature", "says nothing of a log: write it like"),
        (HOURS, "--unit humidity=C", "says nothing of a log"),
        (HOURS, "--room ''", "the room has 1 to 200 characters"),
        (["x;y;z"], "", ""),
    ],
)
def test_a_log_that_cannot_be_is_refused(
    logger: Bench, rows: list[str], options: str, why: str
) -> None:
    """In one sentence, and nothing is kept."""
    log(logger, rows)
    logger.refuses(f"{LOG} {options}", why)


def test_a_day_told_otherwise_is_refused_unless_it_was_looked_at(logger: Bench) -> None:
    """Whoever did says so."""
    logger.does(LOG)
    log(logger, [row.replace(";4", ";6") for row in HOURS])
    logger.refuses(LOG, "or say that it is so with --as-read")
    said = logger.does(f"{LOG} --as-read")

    assert "this one counts from now on" in said
