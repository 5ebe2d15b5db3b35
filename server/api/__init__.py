"""What the phone calls: one blueprint per resource, every answer marked as Tapermark's own."""

from flask import Flask, Response, request

from server.api import (
    description,
    entries,
    fittings,
    jobs,
    pair,
    people,
    photos,
    rechecks,
    rings,
    rings_at_hand,
    session,
    shop,
    types,
)


def init_app(app: Flask) -> None:
    lists = (fittings, types, rings_at_hand, people, rechecks, shop)
    for module in (session, pair, entries, photos, rings, jobs, *lists, description):
        app.register_blueprint(module.blueprint, url_prefix="/api")

    @app.after_request
    def mark(response: Response) -> Response:
        if request.path.startswith("/api/"):
            # A captive portal answers 200 too, but not with this.
            response.headers["X-Tapermark"] = "1"
            if "Cache-Control" not in response.headers:
                response.headers["Cache-Control"] = "no-store"
        return response
