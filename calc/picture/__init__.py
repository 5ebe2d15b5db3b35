"""Pictures of the fitted rings: where the touched rim lies, which mark stands at the line, is the picture sharp."""
