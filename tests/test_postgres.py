"""The tests' own databases: empty, apart from each other, and gone afterwards."""

import secrets
from collections.abc import Callable

import psycopg
from sqlalchemy import create_engine, text

from tests import postgres


def test_a_database_is_empty_and_can_be_written(database_url: str) -> None:
    """Each kind of database starts without a table and keeps what is put there."""
    engine = create_engine(database_url)
    with engine.begin() as connection:
        connection.execute(text("CREATE TABLE board (code TEXT)"))
        connection.execute(text("INSERT INTO board VALUES ('17-04 – épicéa')"))
    with engine.connect() as connection:
        kept = connection.execute(text("SELECT code FROM board")).scalars().all()
    engine.dispose()

    assert kept == ["17-04 – épicéa"]


def test_a_database_is_gone_after_its_test(postgres_server: str) -> None:
    """A database is dropped even while somebody still holds a connection to it."""
    with postgres.database(postgres_server) as url:
        engine = create_engine(url)
        connection = engine.connect()
        name = connection.execute(text("SELECT current_database()")).scalar_one()
    connection.invalidate()
    connection.close()
    engine.dispose()
    with psycopg.connect(postgres_server) as maintenance:
        left = maintenance.execute(
            "SELECT count(*) FROM pg_database WHERE datname = %s", [name]
        ).fetchone()

    assert left == (0,)


def test_an_address_keeps_password_host_and_port() -> None:
    """A password with signs of its own meaning arrives as it was given."""
    password = f"p@ss/{secrets.token_hex(2)}:%"
    dsn = psycopg.conninfo.make_conninfo(
        host="127.0.0.1", port=6543, user="shop", password=password, dbname="wood"
    )
    engine = create_engine(postgres._url(dsn))
    _, connect = engine.dialect.create_connect_args(engine.url)

    assert connect["password"] == password
    assert (connect["host"], str(connect["port"])) == ("127.0.0.1", "6543")
    assert (connect["user"], connect["dbname"]) == ("shop", "wood")


def test_known_randomness_is_a_stream(entropy: Callable[[int], bytes]) -> None:
    """Bytes taken one after the other never repeat, and have the size asked for."""
    taken = [entropy(size) for size in (32, 1, 16, 100)]

    assert [len(part) for part in taken] == [32, 1, 16, 100]
    assert taken[0][:16] != taken[2]
