"""Measuring a ring set: from the thickness of real rings, or from the rows of their paper."""
