"""Who may come in: phones by a pairing, people by a password, and how often either may try."""
