"""Photos and the logo: checked by being decoded, re-encoded, and put into the store."""
