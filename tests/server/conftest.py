"""An application on a fresh store for each test, with a clock that the test sets."""

import shutil
import uuid

import pytest

from server import create_app
from tests.server.phones import BufferedClient, Clock, Phone


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture(scope="session")
def fresh_store(tmp_path_factory):
    """A migrated store with the demo shop's ring sets, made once; tests work on copies of it."""
    folder = tmp_path_factory.mktemp("fresh") / "store"
    create_app({"STORE_FOLDER": folder, "DEMO_JOBS": False}).extensions["database"].close()
    return folder


@pytest.fixture
def make_app(tmp_path, clock, fresh_store):
    """Return a function that opens an application on the test's store; all are closed at the end."""
    shutil.copytree(fresh_store, tmp_path / "store")
    apps = []

    def make(**overrides):
        app = create_app({"STORE_FOLDER": tmp_path / "store", "TESTING": True, "NOW_MS": clock, **overrides})
        app.test_client_class = BufferedClient
        app.config["PROPAGATE_EXCEPTIONS"] = False  # a view's fault must become an answer here too
        apps.append(app)
        return app

    yield make
    for app in apps:
        app.extensions["database"].close()


@pytest.fixture
def app(make_app):
    """An application whose shop has ring sets but no job sheet."""
    return make_app(DEMO_JOBS=False)


@pytest.fixture
def phone(app):
    return Phone(app)


@pytest.fixture
def second_phone(app):
    return Phone(app)


@pytest.fixture
def job():
    return str(uuid.uuid4())
