"""The store: the only folder that speaks SQL. It stores and finds; it decides nothing and knows no Flask.

Everything is written so that it means the same on SQLite and PostgreSQL. Times are whole milliseconds UTC of the
server's clock; a phone's own time stays inside its entry, as a claim.
"""

import sqlite3

from sqlalchemy.exc import DBAPIError

from server.store.database import Database, NewerStore, Unreachable

FAULTS = (DBAPIError, sqlite3.Error)  # what a database may raise in the middle of its work: a full disk, a lost line

__all__ = ["FAULTS", "Database", "NewerStore", "Unreachable"]
