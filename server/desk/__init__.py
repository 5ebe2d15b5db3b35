"""The desk: the pages of the office. Plain documents, no script."""

from flask import Flask

from server.desk import audit, certificate, imports, jobs, people, phones, sign_in


def init_app(app: Flask) -> None:
    pages = (jobs, sign_in, phones, people, imports, audit, certificate)
    for blueprint in (*(module.blueprint for module in pages), people.own_blueprint):
        app.register_blueprint(blueprint, url_prefix="/desk")
