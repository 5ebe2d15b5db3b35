"""The desk: the pages of the office. Plain documents, no script but that of the customer's report."""

from flask import Flask, Response, request

from server.desk import (
    audit,
    certificate,
    customer_report,
    export,
    fitting_results,
    imports,
    jobs,
    letterhead,
    people,
    phones,
    recall,
    rechecks,
    retention,
    ring_drawings,
    ring_edit,
    rings,
    rings_at_hand,
    sign_in,
    types,
    vehicles,
)
from server.desk.words.phone_words import say
from server.web.reading_order import in_order


def init_app(app: Flask) -> None:
    app.jinja_env.finalize = in_order  # whatever a template says
    app.jinja_env.globals["say"] = say
    job_sheets = (jobs, customer_report, rings, ring_edit, ring_drawings, retention, export, fitting_results)
    memory = (recall, vehicles, rechecks, types, rings_at_hand)
    pages = (*job_sheets, *memory, sign_in, phones, people, imports, letterhead, audit, certificate)
    for blueprint in (
        *(module.blueprint for module in pages),
        people.own_blueprint,
        rings.office_blueprint,
        types.lead_blueprint,
        rings_at_hand.office_blueprint,
        fitting_results.owner_blueprint,
    ):
        app.register_blueprint(blueprint, url_prefix="/desk")

    @app.after_request
    def keep_nowhere(response: Response) -> Response:
        """Pages name people and vehicles: after signing out, the browser's way back must not show them."""
        if request.path.startswith("/desk/"):
            response.headers["Cache-Control"] = "no-store"
        return response
