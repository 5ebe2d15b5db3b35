"""Renders a desk page with what every page shows."""

from flask import render_template

from server.context import database
from server.desk.words import words
from server.store import shops


def page(template: str, **values) -> str:
    with database().transaction() as connection:
        shop = shops.shop_row(connection)
    return render_template(template, shop=shop, words=words, **values)
