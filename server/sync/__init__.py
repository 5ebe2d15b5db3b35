"""Entries on their way into the store and out to phones, and what is derived of them there. No Flask."""
