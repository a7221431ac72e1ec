"""Several connections to one database at once, as several workers have them."""

from contextlib import contextmanager
from functools import wraps

from django.db import connections
from django.db.backends.sqlite3.base import DatabaseWrapper

from tests.append_only import empty_the_store


@contextmanager
def shared_database(folder):
    """The default database as several connections can share it, under the settings that a server has.

    The test database of SQLite lives in memory, where pragmas differ and threads lock each other out: a copy of it is
    made in a file. PostgreSQL's is shared already; what a test has committed there is removed again.
    """
    usual = connections["default"]
    if usual.vendor == "postgresql":
        yield usual
        empty_the_store()
        return
    in_file = {**usual.settings_dict, "NAME": folder / "shared.sqlite3"}
    connections.settings["default"], connections["default"] = in_file, DatabaseWrapper(in_file, "default")
    try:
        connections["default"].ensure_connection()
        usual.ensure_connection()
        usual.connection.backup(connections["default"].connection)
        yield connections["default"]
    finally:
        connections["default"].close()
        connections.settings["default"], connections["default"] = usual.settings_dict, usual


def in_own_connection(act):
    """The act for a thread of its own: its connections are closed at the end."""

    @wraps(act)
    def run(*arguments, **named):
        try:
            return act(*arguments, **named)
        finally:
            connections.close_all()

    return run
