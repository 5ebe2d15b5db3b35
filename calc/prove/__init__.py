"""Proving: what a check reading says of the fitting, which causes explain it, and what to do next."""
