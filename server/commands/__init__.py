"""What `python -m server` does at the server's machine. Nothing else of the server imports it."""
