"""The tables of what the shop remembers beyond its job sheets: parts, fittings, rechecks, vehicle types, rings.

Changes only add, by a migration. What is called derived follows from the entries and may be derived again at any time.
"""

from sqlalchemy import BigInteger, Boolean, Column, ForeignKey, Index, Integer, String, Table, Text, text

from server.store.metadata import SHA256, UUID, metadata

# Which lots and ring sets a job put where, derived: what a recall looks through.
job_part = Table(
    "job_part",
    metadata,
    Column("job", UUID, ForeignKey("job.id"), primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("what", String(12), nullable=False),  # ring-lot, parts-lot or ring-set
    Column("key", Text, nullable=False),  # of a lot letters and digits, a long one in several rows; a ring set's id
    Column("text", Text, nullable=False),  # as typed; of a ring set the marks
    Column("side", String(5)),
    Column("round", Integer, nullable=False),  # 0: found in the axle before the job
    Column("state", String(8), nullable=False),  # in, out, unused or planned
    Column("table", SHA256),  # says which revision of the ring set
    Index("job_part_by_key", "what", "key"),
)

_NOT_DONE = text("done_by IS NULL")

# Rechecks of the fasteners that signed jobs have asked for, derived.
recheck = Table(
    "recheck",
    metadata,
    Column("job", UUID, ForeignKey("job.id"), primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("entry", UUID, nullable=False),  # that asks for it
    Column("due_day", String(10)),
    Column("distance", Text, nullable=False),  # in words
    Column("source", Text, nullable=False),  # in words
    Column("parts", Text),  # JSON: distance, source and page as records/recheck.py has them; null: of an older program
    Column("done_by", Text),
    Index("recheck_due", "due_day", sqlite_where=_NOT_DONE, postgresql_where=_NOT_DONE),
)

# What signed jobs propose to keep as a vehicle type, derived; and what a lead has made of each, which is not.
type_proposal = Table(
    "type_proposal",
    metadata,
    Column("job", UUID, ForeignKey("job.id"), primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("entry", UUID, nullable=False),
    Column("match", String(200), nullable=False),  # the same for proposals of one make, model and axle
    Column("body", Text, nullable=False),  # JSON: base, type and what was left out
    Column("made_by", Text, nullable=False),
)
type_decision = Table(
    "type_decision",
    metadata,
    Column("entry", UUID, primary_key=True),
    Column("what", String(10), nullable=False),  # accepted or refused
    Column("type", UUID),
    Column("revision", Integer),
    Column("at_ms", BigInteger, nullable=False),
    Column("by", Text, nullable=False),
)

vehicle_type = Table(
    "vehicle_type",
    metadata,
    Column("id", UUID, primary_key=True),
    Column("revision", Integer, primary_key=True),
    Column("state", String(10), nullable=False),  # accepted, retired or merged
    Column("match", String(200), nullable=False),
    Column("body", Text, nullable=False),  # JSON of server/records/vehicle_types.py
    Column("jobs", Text, nullable=False),  # JSON: the jobs whose proposals this revision took in
    Column("merged_into", UUID),
    Column("made_ms", BigInteger, nullable=False),
    Column("made_by", Text, nullable=False),
)

# From which revisions of types a job's facts were entered, derived.
type_use = Table(
    "type_use",
    metadata,
    Column("job", UUID, ForeignKey("job.id"), primary_key=True),
    Column("type", UUID, primary_key=True),
    Column("revision", Integer, primary_key=True),
    Index("type_use_by_type", "type"),
)

# Where ring sets lie: a store, each van.
place = Table(
    "place",
    metadata,
    Column("id", UUID, primary_key=True),
    Column("name", Text, nullable=False),
    Column("retired", Boolean, nullable=False),
)

ring_move = Table(
    "ring_move",
    metadata,
    Column("id", UUID, primary_key=True),
    Column("place", UUID, ForeignKey("place.id"), nullable=False),
    Column("ring_set", String(200), nullable=False),
    Column("what", String(10), nullable=False),  # added, counted or moved
    Column("pairs", Integer, nullable=False),  # by so many the count changed
    Column("at_ms", BigInteger, nullable=False),
    Column("by", Text, nullable=False),
    Column("seq", BigInteger, nullable=False),  # of the newest entry then
    Index("ring_move_by_time", "at_ms"),
)

# One pair each that a closed job used, derived; it stays when the job is erased, for nobody is named in it.
ring_take = Table(
    "ring_take",
    metadata,
    Column("job", UUID, ForeignKey("job.id"), primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("ring_set", String(200), nullable=False),
    Column("place", UUID),  # by what the phone said
    Index("ring_take_by_place", "place", "ring_set"),
)

# Registrations and VINs of a job, letters and digits only, derived: by what jobs are of one vehicle.
vehicle_key = Table(
    "vehicle_key",
    metadata,
    Column("job", UUID, ForeignKey("job.id"), primary_key=True),
    Column("what", String(12), primary_key=True),  # registration or vin
    Column("key", String(200), primary_key=True),
    Index("vehicle_key_by_key", "key"),
)

# What a job that was ever signed left in its vehicle, derived. What phones get of it is empty where it does not count.
fitting = Table(
    "fitting",
    metadata,
    Column("job", UUID, ForeignKey("job.id"), primary_key=True),
    Column("at", BigInteger, nullable=False),  # grows with every change that phones have to hear of
    Column("signed_seq", BigInteger),  # null: not signed now
    Column("left_in", Text),  # JSON: all that is known of it, also where another job came after
    Column("newest", Boolean, nullable=False),  # of the signed jobs of its vehicle
    Column("keys", Text, nullable=False),  # JSON: [what, key], as phones get them
    Column("left", Text),
    Column("right", Text),
    Column("day", String(10)),  # of signing, by the phone's clock
    Index("fitting_by_at", "at"),
)

# What a finished job gives to learn from: of its readings and plans alone, derived when somebody looks.
job_gathered = Table(
    "job_gathered",
    metadata,
    Column("job", UUID, ForeignKey("job.id"), primary_key=True),
    Column("last_seq", BigInteger, nullable=False),  # of the entries that it was derived from
    Column("body", Text, nullable=False),  # JSON of server/records/past_fittings.py
)
