"""Listens, ends TLS, reads each request whole, and only then lets the application have a thread of its own for it."""
