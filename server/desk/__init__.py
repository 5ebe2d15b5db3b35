"""The desk: the pages of the office. Plain documents, no script."""

from flask import Flask

from server.desk import jobs


def init_app(app: Flask) -> None:
    app.register_blueprint(jobs.blueprint, url_prefix="/desk")
