"""The tables as SQLAlchemy sees them. Changes only add, by a migration; fixtures/schema.json is the snapshot."""

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    String,
    Table,
    Text,
    text,
)

from server.store import memory_schema
from server.store.metadata import SHA256, UUID

metadata = memory_schema.metadata  # so that whoever asks for all tables gets those too

_HAS_PHOTO = text("photo IS NOT NULL")
_NOT_DERIVED = text("found_by IS NULL")
_OPEN = text("state = 'open'")

# One server is one shop: one row.
shop = Table(
    "shop",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("name", Text, nullable=False),
    Column("demo", Boolean, nullable=False),
    Column("epoch", UUID, nullable=False),  # new whenever a store comes back from a backup
)

# The row that every writer of entries locks first, so that the order of seq is the order of commits.
counter = Table(
    "counter",
    metadata,
    Column("name", String(20), primary_key=True),
    Column("value", BigInteger, nullable=False),
    Column("lines", BigInteger, nullable=False, server_default="0"),  # the last place given to a job's line
)

# A file of what a phone could not send, taken in at the desk.
import_file = Table(
    "import_file",
    metadata,
    Column("id", UUID, primary_key=True),
    Column("at_ms", BigInteger, nullable=False),
    Column("by", Text, nullable=False),
    Column("device", UUID),
    Column("exported_at", Text, nullable=False),  # by the phone's clock
    Column("outcome", Text, nullable=False),  # JSON: what became of each part
    Column("left_over", Text, nullable=False),  # JSON: values that never became entries, kept for a person to read
)

pairing = Table(
    "pairing",
    metadata,
    Column("id", UUID, primary_key=True),
    Column("name", Text, nullable=False),
    Column("made_ms", BigInteger, nullable=False),
    Column("contact_ms", BigInteger, nullable=False),
    Column("revoked_ms", BigInteger),
    Column("made_by", Text),  # the person at the desk who made the code for it; null in the demo shop
    Column("unsent", Integer),  # what the phone said at its last sync that it still had to send
    Column("version", String(40)),  # of the program on the phone, by its own word
    Column("kept", Boolean),  # whether its browser has promised to keep what it stores; null where it has not said
    Column("file", UUID),  # an import_file: then it is no phone, and stands for the entries that the file brought
)

device = Table(
    "device",
    metadata,
    Column("id", UUID, primary_key=True),
    Column("high_water", BigInteger, nullable=False),
    Column("backed_up_through", BigInteger, nullable=False),
)

# A phone that was paired again keeps its device ids, so one device may belong to several pairings.
pairing_device = Table(
    "pairing_device",
    metadata,
    Column("pairing", UUID, ForeignKey("pairing.id"), primary_key=True),
    Column("device", UUID, ForeignKey("device.id"), primary_key=True),
)

# What the lists and the pull need to know of a job, derived from its entries: the state as they come, the rest when it
# is read.
job = Table(
    "job",
    metadata,
    Column("id", UUID, primary_key=True),
    Column("state", String(10), nullable=False),
    Column("registration", Text, nullable=False),
    Column("registration_keys", Text, nullable=False),  # every live value, letters and digits only: " AB12 AB13 "
    Column("vehicle", Text, nullable=False),
    Column("conflicts", Integer, nullable=False),
    Column("changed_ms", BigInteger, nullable=False),
    Column("first_seq", BigInteger, nullable=False),
    Column("last_seq", BigInteger, nullable=False),
    Column("revived_seq", BigInteger, nullable=False),  # the newest seq at which it came back after 30 days closed
    # What the desk searches by.
    Column("vin_keys", Text),  # as registration_keys
    # Registrations, vehicles, VINs and people, in lower case. Null: something has come since the row was derived, and
    # all but state, times and seqs is as it was before; so it is derived again before anybody reads it.
    Column("found_by", Text),
    Column("first_day", String(10)),  # by the phones' clocks
    Column("last_day", String(10)),
    Column("began_ms", BigInteger),  # when the first entry came
    # Of the program that derived what the tables below know of the job; 0: something has come since.
    Column("facts_version", Integer, nullable=False, server_default="0"),
    # Of its line among all lines in the order of their changes, by `counter.lines`.
    Column("line_at", BigInteger, nullable=False, server_default="0"),
    Index("job_by_change", "changed_ms"),
    Index("job_newest_first", "changed_ms", "last_seq", "state", "id"),
    Index("job_by_first_seq", "first_seq"),
    Index("job_by_last_seq", "last_seq"),
    Index("job_not_derived", "id", sqlite_where=_NOT_DERIVED, postgresql_where=_NOT_DERIVED),
    Index("job_by_facts_version", "facts_version"),
    Index("job_by_line", "line_at", "state", "changed_ms"),
    Index("job_open", "changed_ms", sqlite_where=_OPEN, postgresql_where=_OPEN),
)

entry = Table(
    "entry",
    metadata,
    Column("id", UUID, primary_key=True),
    Column("seq", BigInteger, nullable=False, unique=True),
    Column("job", UUID, ForeignKey("job.id"), nullable=False),
    Column("device", UUID, ForeignKey("device.id"), nullable=False),
    Column("n", BigInteger, nullable=False),
    Column("kind", String(60), nullable=False),
    Column("photo", SHA256),  # what a photo-attached entry wants
    Column("pairing", UUID, ForeignKey("pairing.id"), nullable=False),  # who brought it
    Column("received_ms", BigInteger, nullable=False),
    Column("raw", Text, nullable=False),  # the entry as it came, JSON with every non-ASCII character escaped
    Column("digest", SHA256, nullable=False),  # of its canonical form: the same content or not
    Column("erased_ms", BigInteger),  # then raw is a shell without what was personal
    Index("entry_by_job", "job", "seq"),
    Index("entry_by_device", "device", "n"),
    Index("entry_by_photo", "photo"),
    Index("entry_by_own_photo", "device", "photo", sqlite_where=_HAS_PHOTO, postgresql_where=_HAS_PHOTO),
)

# Entries that a later server will understand, and entries that none ever will: both whole, neither in a pull.
set_aside = Table(
    "set_aside",
    metadata,
    Column("digest", SHA256, primary_key=True),
    Column("verdict", String(10), nullable=False),  # refused or parked
    Column("reason", String(40), nullable=False),
    Column("entry", UUID),
    Column("device", UUID),
    Column("n", BigInteger),
    Column("pairing", UUID, ForeignKey("pairing.id"), nullable=False),
    Column("received_ms", BigInteger, nullable=False),
    Column("raw", Text, nullable=False),
    Index("set_aside_by_device", "device", "n"),
)

photo = Table(
    "photo",
    metadata,
    Column("sha256", SHA256, primary_key=True),  # of the bytes that the phone sent
    Column("etag", SHA256, nullable=False),  # of the bytes kept here
    Column("content", LargeBinary, nullable=False),
    Column("width", Integer, nullable=False),
    Column("height", Integer, nullable=False),
    Column("pairing", UUID, ForeignKey("pairing.id"), nullable=False),
    Column("received_ms", BigInteger, nullable=False),
    Index("photo_by_pairing", "pairing", "received_ms"),
)

# Names of photos that entries of a device wait for: asked at every sync, so that it must not grow with what has come.
photo_awaited = Table(
    "photo_awaited",
    metadata,
    Column("device", UUID, ForeignKey("device.id"), primary_key=True),
    Column("sha256", SHA256, primary_key=True),
    Index("photo_awaited_by_name", "sha256"),
)

ring_table = Table(
    "ring_table",
    metadata,
    Column("sha256", SHA256, primary_key=True),
    Column("content", LargeBinary, nullable=False),
)

ring_set = Table(
    "ring_set",
    metadata,
    Column("id", String(200), primary_key=True),
    Column("revision", Integer, primary_key=True),
    Column("name", Text, nullable=False),
    Column("ring_set", Text, nullable=False),  # the JSON of the design
    Column("table", SHA256, ForeignKey("ring_table.sha256"), nullable=False),
    Column("retired", Boolean, nullable=False),
    Column("made_ms", BigInteger),  # null where it came with the demo shop
    Column("made_by", Text),
    Column("origin", Text),  # JSON: typed data, or the measurement that they come from with what calc said of it
)

# The shop's own settings, each a JSON value.
setting = Table(
    "setting",
    metadata,
    Column("name", String(40), primary_key=True),
    Column("value", Text, nullable=False),
    Column("at_ms", BigInteger, nullable=False),
    Column("by", Text, nullable=False),
)

backup = Table(
    "backup",
    metadata,
    Column("id", UUID, primary_key=True),
    Column("made_ms", BigInteger, nullable=False),
    Column("seq", BigInteger, nullable=False),
    Index("backup_by_seq", "seq"),
)

person = Table(
    "person",
    metadata,
    Column("id", UUID, primary_key=True),
    Column("name", Text, nullable=False),
    Column("name_key", String(200), nullable=False, unique=True),  # what is compared at sign-in
    Column("role", String(12), nullable=False),  # owner, office or technician
    Column("password", Text, nullable=False),  # hashed, with its parameters
    Column("made_ms", BigInteger, nullable=False),
    Column("ended_ms", BigInteger),
    Column("phone_code", String(32)),  # digest of a short code asked for on phones, null where none is
)

# One browser in which one person is signed in. The cookie holds the name whose SHA-256 this is.
sign_in = Table(
    "sign_in",
    metadata,
    Column("digest", SHA256, primary_key=True),
    Column("person", UUID, ForeignKey("person.id"), nullable=False),
    Column("made_ms", BigInteger, nullable=False),
    Column("seen_ms", BigInteger, nullable=False),
)

pairing_code = Table(
    "pairing_code",
    metadata,
    Column("digest", SHA256, primary_key=True),
    Column("name", Text, nullable=False),  # of the phone that it will pair
    Column("made_ms", BigInteger, nullable=False),
    Column("made_by", Text, nullable=False),
    Column("tries", Integer, nullable=False),  # always 0: tries are counted per address; migrations take nothing away
    Column("used_ms", BigInteger),
)

# Tries to sign in or to pair, so that all processes together count right. Old ones are removed.
attempt = Table(
    "attempt",
    metadata,
    Column("id", UUID, primary_key=True),
    Column("what", String(12), nullable=False),
    Column("name", SHA256, nullable=False),  # of what was given as the name: it may be a mistyped password
    Column("address", String(45), nullable=False),
    Column("at_ms", BigInteger, nullable=False),
    Column("succeeded", Boolean, nullable=False),
    Index("attempt_by_time", "what", "at_ms"),
)

audit = Table(
    "audit",
    metadata,
    Column("id", UUID, primary_key=True),
    Column("at_ms", BigInteger, nullable=False),
    Column("what", String(40), nullable=False),
    Column("who", Text, nullable=False),
    Column("address", String(45), nullable=False),
    Column("about", Text, nullable=False),
    Index("audit_by_time", "at_ms"),
)
