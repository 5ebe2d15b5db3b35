"""The store: the only folder that speaks SQL. It stores and finds; it decides nothing and knows no Flask.

Everything is written so that it means the same on SQLite and PostgreSQL. Times are whole milliseconds UTC of the
server's clock; a phone's own time stays inside its entry, as a claim.
"""

import sqlite3

from sqlalchemy import Connection
from sqlalchemy.exc import DBAPIError, IntegrityError

from server.store.database import Database, NewerStore, Unreachable

AlreadyThere = IntegrityError  # what adding a row raises where another was first
FAULTS = (DBAPIError, sqlite3.Error)  # what a database may raise in the middle of its work: a full disk, a lost line

__all__ = ["FAULTS", "AlreadyThere", "Connection", "Database", "NewerStore", "Unreachable"]
