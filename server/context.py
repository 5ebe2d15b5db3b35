"""What a view may ask of the application that it runs in: the database and the time."""

import time

from flask import current_app

from server.store import Database


def database() -> Database:
    return current_app.extensions["database"]


def now_ms() -> int:
    """The server's clock, UTC in ms; tests put another one into the configuration."""
    return current_app.config["NOW_MS"]()


def clock_ms() -> int:
    return time.time_ns() // 1_000_000
