"""GET /api/openapi.json: what /api takes and gives, as OpenAPI 3.1. Open to everybody: it holds nothing of the shop."""

from pathlib import Path

from flask import Blueprint, Response

blueprint = Blueprint("description", __name__)
FILE = Path(__file__).with_name("openapi.json")


@blueprint.get("/openapi.json")
def show():
    return Response(FILE.read_bytes(), mimetype="application/json")
