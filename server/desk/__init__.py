"""The desk: the pages of the office. Plain documents, no script."""

from flask import Flask

from server.desk import (
    audit,
    certificate,
    export,
    imports,
    jobs,
    keeping,
    learning,
    people,
    phones,
    ring_drawings,
    ring_edit,
    rings,
    sign_in,
)


def init_app(app: Flask) -> None:
    job_sheets = (jobs, rings, ring_edit, ring_drawings, keeping, export, learning)
    pages = (*job_sheets, sign_in, phones, people, imports, audit, certificate)
    for blueprint in (
        *(module.blueprint for module in pages),
        people.own_blueprint,
        rings.office_blueprint,
        learning.owner_blueprint,
    ):
        app.register_blueprint(blueprint, url_prefix="/desk")
