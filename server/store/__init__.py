"""The store: the only folder that speaks SQL. It stores and finds; it decides nothing and knows no Flask.

Everything is written so that it means the same on SQLite and PostgreSQL. Times are whole milliseconds UTC of the
server's clock; a phone's own time stays inside its entry, as a claim.
"""

from server.store.database import Database

__all__ = ["Database"]
