"""What the modules that describe tables share: one list of all tables, and the types of names."""

from sqlalchemy import MetaData, String

metadata = MetaData()

UUID = String(36)
SHA256 = String(64)
