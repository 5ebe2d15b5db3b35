"""The shop's server: takes what the phones send, keeps it, gives it to the desk. `create_app` puts it together."""

from pathlib import Path

from flask import Flask
from flask_wtf import CSRFProtect
from werkzeug.middleware.proxy_fix import ProxyFix

from server import api, config, demo, desk
from server.auth import admission
from server.auth.cookies import Cookies
from server.keys import secret_key
from server.store import Database
from server.sync.derive import derive_due, derive_facts
from server.web import bodies, errors, health, shell, slow_bodies
from server.web.headers import SecurityHeaders


def create_app(overrides: dict | None = None) -> Flask:
    """Return the application, its store migrated and filled with the demo shop if it was empty.

    `overrides` wins over server/config.py; STORE_FOLDER, where the store and its key lie, over the environment.
    """
    overrides = dict(overrides or {})
    folder = Path(overrides.pop("STORE_FOLDER", None) or config.store_folder())
    app = Flask(__name__, static_folder=None)
    app.config.update(config.defaults(folder) | overrides)
    secret_key.check_keys([app.config["SECRET_KEY"], *app.config["SECRET_KEY_FALLBACKS"]], "SECRET_KEY")
    app.json.sort_keys = False
    app.session_interface = Cookies()
    database = app.extensions["database"] = Database(app.config["DATABASE_URL"])
    database.migrate()
    demo.make_if_empty(database, app.config["NOW_MS"](), with_jobs=app.config["DEMO_JOBS"])
    derive_due(database)
    derive_facts(database)

    errors.init_app(app)
    slow_bodies.init_app(app)
    admission.init_app(app)
    CSRFProtect(app)
    bodies.init_app(app)
    api.init_app(app)
    desk.init_app(app)
    app.register_blueprint(health.blueprint)
    shell.init_app(app)
    app.wsgi_app = SecurityHeaders(app.wsgi_app)
    if proxies := app.config["PROXIES"]:
        # The host's name is not taken from a header: a proxy has to pass it on as it came.
        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=proxies, x_proto=proxies, x_host=0)
    return app
