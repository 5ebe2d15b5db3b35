"""What tests of what is stored share: verdicts, rows, filling a store and every row of it to compare."""

import uuid

from sqlalchemy import select

from server.commands.backup import make_backup
from server.store import Database, photos, schema
from tests.server.phones import START_MS
from tests.server.photos.test_photos import attach, encoded, name_of


def verdicts(answer):
    return [result["verdict"] for result in answer["results"]]


def rows_of(app, table):
    with app.extensions["database"].transaction() as connection:
        return list(connection.execute(select(table)).mappings())


def quiet(_done, _total):
    pass


def backup_of(app, path, progress=quiet):
    return make_backup(app.extensions["database"], path, START_MS, progress)


def all_rows(database):
    """Every row of every table, by table; photos with their bytes, wherever these lie."""
    with database.snapshot() as connection:
        found = {
            table.name: sorted((tuple(row) for row in connection.execute(select(table))), key=repr)
            for table in schema.metadata.sorted_tables
        }
        found["photo"] = [(*row[:2], photos.kept(connection, row[0]), *row[3:]) for row in found["photo"]]
        return found


def rows_at(where):
    """The same of a file or URL that nothing has open."""
    database = Database(where) if isinstance(where, str) else Database.of_file(where)
    try:
        return all_rows(database)
    finally:
        database.close()


def fill(phone, job):
    """Leave something in every table: entries, one refused, one parked, a photo."""
    phone.sync([phone.entry(job, "job-opened", {"checklist": 1}), phone.entry(job, by=7), phone.entry(job)])
    phone.sync([{"format": 2, "id": str(uuid.uuid4()), "what": "a later program's"}])
    content = encoded()
    attach(phone, job, content)
    assert phone.put_photo(name_of(content), content).status_code == 201
