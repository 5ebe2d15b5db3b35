"""The form of a ring set: from what is typed to a ring set and to its errors in words."""
