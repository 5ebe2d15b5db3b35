"""Rings and what pairs of them do: data, table, exact tilt, where all sits, cuts for the bolts. Knows no readings."""
