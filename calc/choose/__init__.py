"""Choosing: the true joint optimum over all pairs of both wheels, its chance and the advice beside it."""
