"""An application on a fresh store for each test, with a clock that the test sets. On which database: databases.py."""

import io
import shutil
import uuid

import pytest
from jinja2 import BytecodeCache
from werkzeug.routing import Rule

from server import create_app
from server.__main__ import main
from server.commands.setup import make_shop
from server.store import Database
from tests.postgres import FreshAgain
from tests.server.demo_desk import DemoDesk
from tests.server.desks import OWNER, PASSWORD, SHOP, Desk, FarPhone
from tests.server.phones import BufferedClient, Clock, Phone


@pytest.fixture(scope="session", autouse=True)
def _routes_compiled_once():
    """Each app has the same routes, and Werkzeug compiles two functions for each: half of what an app costs."""
    compile_builder, made = Rule._compile_builder, {}

    def once(rule, append_unknown=True):
        key = (rule.rule, rule.subdomain, rule.host, repr(rule.defaults), append_unknown)
        if key not in made:
            made[key] = compile_builder(rule, append_unknown)
        return made[key]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Rule, "_compile_builder", once)
        yield


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture(scope="session")
def fresh_store(tmp_path_factory):
    """A migrated store with the demo shop's ring sets, made once; tests work on copies of it."""
    folder = tmp_path_factory.mktemp("fresh") / "store"
    create_app({"STORE_FOLDER": folder, "DEMO_JOBS": False}).extensions["database"].close()
    return folder


@pytest.fixture(scope="session")
def postgres_store(postgres, fresh_store):
    """The same on PostgreSQL, one database for all tests: its function `empty` brings it back to the fresh state."""
    url = postgres.create("tests")
    create_app({"STORE_FOLDER": fresh_store, "DEMO_JOBS": False, "DATABASE_URL": url}).extensions["database"].close()
    return FreshAgain(url)


@pytest.fixture
def store(request, tmp_path, fresh_store):
    """What `create_app` needs to open the test's own fresh store, on SQLite unless the test is on_both_databases."""
    shutil.copytree(fresh_store, tmp_path / "store")
    if getattr(request, "param", "sqlite") == "sqlite":
        return {"STORE_FOLDER": tmp_path / "store"}
    (tmp_path / "store" / "tapermark.db").unlink()
    fresh_again = request.getfixturevalue("postgres_store")
    fresh_again()
    return {"STORE_FOLDER": tmp_path / "store", "DATABASE_URL": fresh_again.url}


@pytest.fixture
def make_app(store, clock):
    """Return a function that opens an application on the test's store; all are closed at the end."""
    yield from opener(clock, store)


class CompiledTemplates(BytecodeCache):
    """Templates compiled once for all applications of the process: each has an environment of its own."""

    def __init__(self):
        self._codes = {}

    def load_bytecode(self, bucket):
        bucket.code = self._codes.get((bucket.key, bucket.checksum))

    def dump_bytecode(self, bucket):
        self._codes[bucket.key, bucket.checksum] = bucket.code


_TEMPLATES = CompiledTemplates()


def opener(clock, store):
    """Yield a function that opens an application; close all of them afterwards."""
    apps = []

    def make(**overrides):
        app = create_app({"TESTING": True, "NOW_MS": clock, **store, **overrides})
        app.test_client_class = BufferedClient
        app.jinja_env.bytecode_cache = _TEMPLATES
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
def run_at(monkeypatch, capsys):
    """Return a function that runs a verb of `python -m server` on the store of a folder: (status, out, err)."""
    monkeypatch.delenv("DATABASE_URL", raising=False)

    def verb(folder, *arguments, given=""):
        monkeypatch.setenv("TAPERMARK_STORE", str(folder))
        monkeypatch.setattr("sys.stdin", io.StringIO(given))
        status = main([str(argument) for argument in arguments])
        return status, *capsys.readouterr()

    return verb


@pytest.fixture
def job():
    return str(uuid.uuid4())


@pytest.fixture(scope="session")
def fresh_shop(tmp_path_factory):
    """A store with a shop of its own, made once as `setup` makes it; tests work on copies of it."""
    folder = tmp_path_factory.mktemp("fresh-shop") / "store"
    folder.mkdir()
    fill_shop(f"sqlite:///{folder}/tapermark.db")
    return folder


@pytest.fixture(scope="session")
def postgres_shop(postgres):
    url = postgres.create("shops")
    fill_shop(url)
    return FreshAgain(url)


def fill_shop(url):
    database = Database(url)
    database.migrate()
    make_shop(database, SHOP, OWNER, PASSWORD)
    database.close()


@pytest.fixture
def make_shop_app(tmp_path, fresh_shop, clock):
    """Return a function that opens an application on the test's own copy of the shop, on SQLite."""
    shutil.copytree(fresh_shop, tmp_path / "shop")
    yield from opener(clock, {"STORE_FOLDER": tmp_path / "shop"})


@pytest.fixture
def shop_app(make_shop_app):
    return make_shop_app()


@pytest.fixture(params=["sqlite", "postgresql"])
def any_shop_app(request, tmp_path, clock):
    """The same on each database, for what the databases could do differently."""
    if request.param == "sqlite":
        yield request.getfixturevalue("shop_app")
        return
    fresh_again = request.getfixturevalue("postgres_shop")
    fresh_again()
    made = opener(clock, {"STORE_FOLDER": tmp_path / "shop", "DATABASE_URL": fresh_again.url})
    yield next(made)()
    next(made, None)


@pytest.fixture
def owner(shop_app):
    """The owner, signed in at the desk."""
    return Desk(shop_app).signed_in()


@pytest.fixture
def far_phone(shop_app, owner):
    """A phone that was paired by a code."""
    phone = FarPhone(shop_app)
    assert phone.pair(owner.make_code()).status_code == 200
    return phone


@pytest.fixture
def demo_app(tmp_path, fresh_store, clock):
    """The demo shop's ring sets without job sheets, on SQLite: for what no database could do differently."""
    shutil.copytree(fresh_store, tmp_path / "demo")
    made = opener(clock, {"STORE_FOLDER": tmp_path / "demo", "DEMO_JOBS": False})
    yield next(made)()
    next(made, None)


@pytest.fixture
def desk(demo_app):
    return DemoDesk(demo_app)
