"""The tables as SQLAlchemy sees them. Changes only add, by a migration; fixtures/schema.json is the snapshot."""

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
)

metadata = MetaData()

_UUID = String(36)
_SHA256 = String(64)

# One server is one shop: one row.
shop = Table(
    "shop",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("name", Text, nullable=False),
    Column("demo", Boolean, nullable=False),
    Column("epoch", _UUID, nullable=False),  # new whenever a store comes back from a backup
)

# The row that every writer of entries locks first, so that the order of seq is the order of commits.
counter = Table(
    "counter",
    metadata,
    Column("name", String(20), primary_key=True),
    Column("value", BigInteger, nullable=False),
)

pairing = Table(
    "pairing",
    metadata,
    Column("id", _UUID, primary_key=True),
    Column("name", Text, nullable=False),
    Column("made_ms", BigInteger, nullable=False),
    Column("contact_ms", BigInteger, nullable=False),
    Column("revoked_ms", BigInteger),
)

device = Table(
    "device",
    metadata,
    Column("id", _UUID, primary_key=True),
    Column("high_water", BigInteger, nullable=False),
    Column("backed_up_through", BigInteger, nullable=False),
)

# A phone that was paired again keeps its device ids, so one device may belong to several pairings.
pairing_device = Table(
    "pairing_device",
    metadata,
    Column("pairing", _UUID, ForeignKey("pairing.id"), primary_key=True),
    Column("device", _UUID, ForeignKey("device.id"), primary_key=True),
)

# What the lists and the pull need to know of a job; always derived again from its entries.
job = Table(
    "job",
    metadata,
    Column("id", _UUID, primary_key=True),
    Column("state", String(10), nullable=False),
    Column("registration", Text, nullable=False),
    Column("registration_keys", Text, nullable=False),  # every live value, letters and digits only: " AB12 AB13 "
    Column("vehicle", Text, nullable=False),
    Column("conflicts", Integer, nullable=False),
    Column("changed_ms", BigInteger, nullable=False),
    Column("first_seq", BigInteger, nullable=False),
    Column("last_seq", BigInteger, nullable=False),
    Column("revived_seq", BigInteger, nullable=False),  # the newest seq at which it came back after 30 days closed
    Index("job_by_change", "changed_ms"),
    Index("job_by_first_seq", "first_seq"),
    Index("job_by_last_seq", "last_seq"),
)

entry = Table(
    "entry",
    metadata,
    Column("id", _UUID, primary_key=True),
    Column("seq", BigInteger, nullable=False, unique=True),
    Column("job", _UUID, ForeignKey("job.id"), nullable=False),
    Column("device", _UUID, ForeignKey("device.id"), nullable=False),
    Column("n", BigInteger, nullable=False),
    Column("kind", String(60), nullable=False),
    Column("photo", _SHA256),  # what a photo-attached entry wants
    Column("pairing", _UUID, ForeignKey("pairing.id"), nullable=False),  # who brought it
    Column("received_ms", BigInteger, nullable=False),
    Column("raw", Text, nullable=False),  # the entry as it came, JSON with every non-ASCII character escaped
    Column("digest", _SHA256, nullable=False),  # of its canonical form: the same content or not
    Column("erased_ms", BigInteger),  # then raw is empty: the tombstone keeps id and seq
    Index("entry_by_job", "job", "seq"),
    Index("entry_by_device", "device", "n"),
    Index("entry_by_photo", "photo"),
)

# Entries that a later server will understand, and entries that none ever will: both whole, neither in a pull.
set_aside = Table(
    "set_aside",
    metadata,
    Column("digest", _SHA256, primary_key=True),
    Column("verdict", String(10), nullable=False),  # refused or parked
    Column("reason", String(40), nullable=False),
    Column("entry", _UUID),
    Column("device", _UUID),
    Column("n", BigInteger),
    Column("pairing", _UUID, ForeignKey("pairing.id"), nullable=False),
    Column("received_ms", BigInteger, nullable=False),
    Column("raw", Text, nullable=False),
    Index("set_aside_by_device", "device", "n"),
)

photo = Table(
    "photo",
    metadata,
    Column("sha256", _SHA256, primary_key=True),  # of the bytes that the phone sent
    Column("etag", _SHA256, nullable=False),  # of the bytes kept here
    Column("content", LargeBinary, nullable=False),
    Column("width", Integer, nullable=False),
    Column("height", Integer, nullable=False),
    Column("pairing", _UUID, ForeignKey("pairing.id"), nullable=False),
    Column("received_ms", BigInteger, nullable=False),
    Index("photo_by_pairing", "pairing", "received_ms"),
)

ring_table = Table(
    "ring_table",
    metadata,
    Column("sha256", _SHA256, primary_key=True),
    Column("content", LargeBinary, nullable=False),
)

ring_set = Table(
    "ring_set",
    metadata,
    Column("id", String(200), primary_key=True),
    Column("revision", Integer, primary_key=True),
    Column("name", Text, nullable=False),
    Column("ring_set", Text, nullable=False),  # the JSON of the design
    Column("table", _SHA256, ForeignKey("ring_table.sha256"), nullable=False),
    Column("retired", Boolean, nullable=False),
)

backup = Table(
    "backup",
    metadata,
    Column("id", _UUID, primary_key=True),
    Column("made_ms", BigInteger, nullable=False),
    Column("seq", BigInteger, nullable=False),
)
