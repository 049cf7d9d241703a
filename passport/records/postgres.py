"""All that is PostgreSQL's own: how it is opened, guarded, copied and what its errors mean.

For offices that share one store: its records, photos and cut-outs.
"""

from collections.abc import Iterable
from functools import partial
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from passport.records import transfer
from passport.records.backend import Backend, explained
from passport.records.errors import (
    DatabaseUnusable,
    DriverMissing,
    StoreDamaged,
    StoreError,
    StoreFull,
    StoreLocked,
)
from passport.records.shelf import DatabaseShelf

# Whoever wants to add to the chain takes this lock first; it goes with the transaction. The first
# number is any that no other program in the database uses (the letters "tabl"), the second one
# tells the stores in it apart, for each stands in a schema of its own.
CHAIN_LOCK = f"{int.from_bytes(b'tabl', 'big')}, hashtext(current_schema())"

# SQLSTATE codes: PostgreSQL documentation, appendix A.
_BUSY = {"55P03", "40001", "40P01"}  # lock not available, serialization failure, deadlock
_FULL = {"53100"}  # disk full
_DAMAGED = {"XX001", "XX002"}  # data corrupted, index corrupted
_RIGHTS = {"25006", "42501"}  # read only, insufficient privilege
_GONE = ("08", "57P", "28", "3D")  # connection, shut down, sign-in, no such database


def backend_of(address: str, home: Path, wait_s: float) -> Backend:
    """Open a database by its address, ``postgresql://user@machine/name``.

    Raises
    ------
    DriverMissing
        The package that speaks to PostgreSQL is not installed.
    """
    url = sa.make_url(address).set(drivername="postgresql+psycopg")
    try:
        engine = sa.create_engine(url, pool_pre_ping=True)
    except ModuleNotFoundError as error:
        raise DriverMissing(url.render_as_string(hide_password=True)) from error
    sa.event.listen(engine, "begin", partial(_begin, wait_s))
    shown = url.render_as_string(hide_password=True)

    def reason(error: BaseException | None) -> StoreError | None:
        return _reason(error, shown, (home, wait_s))

    return Backend(
        engine,
        find_damage=lambda _: (
            None
        ),  # pages are the server's to check: its own checksums, pg_amcheck
        shelf=lambda name: DatabaseShelf(engine, name, lambda: explained(reason)),
        scrub=_scrub,
        copy=partial(transfer.copy_out, engine),
        reason=reason,
    )


def _begin(wait_s: float, connection: sa.Connection) -> None:
    """Take the chain's lock before anything is read; give readers one whole state.

    A writer reads what was committed when its statement begins, so behind the lock it sees the
    last head. A snapshot taken before the lock would be an old one.
    """
    if connection.get_execution_options().get("isolation_level") == "AUTOCOMMIT":
        return
    if not connection.get_execution_options().get("writes", False):
        connection.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        return
    connection.exec_driver_sql(f"SET LOCAL lock_timeout = {max(1, round(wait_s * 1000))}")
    connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({CHAIN_LOCK})")


def append_only(table: str, _unique_columns: Iterable[str]) -> tuple[str, ...]:
    """Statements that make a table append-only; an upsert is an UPDATE and is refused as one."""
    say = f"RAISE EXCEPTION '{table} can only be added to'"
    call = f"EXECUTE FUNCTION {table}_only_added()"
    return (
        f"CREATE FUNCTION {table}_only_added() RETURNS trigger LANGUAGE plpgsql "
        f"AS $$ BEGIN {say}; END $$",
        f"CREATE TRIGGER {table}_no_change BEFORE UPDATE OR DELETE ON {table} FOR EACH ROW {call}",
        f"CREATE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table} FOR EACH STATEMENT {call}",
    )


def _scrub(connection: sa.Connection) -> None:
    """Take dead rows out of the tables that personal texts stood in."""
    for table in ("private_texts", "tables", "open_doubts", "tellings", "standings", "kept_files"):
        connection.exec_driver_sql(f"VACUUM {table}")


def _reason(error: Any, address: str, waited: tuple[Path, float]) -> StoreError | None:
    state = getattr(error, "sqlstate", None)
    if state in _BUSY:
        return StoreLocked(*waited)
    if state in _FULL:
        return StoreFull(address)
    if state in _DAMAGED:
        return StoreDamaged(waited[0], str(error))
    if state is None or state in _RIGHTS or state.startswith(_GONE):
        return DatabaseUnusable(address, str(error).strip().splitlines()[0])
    return None
