"""Fitting: can rings go in here at all, and what is needed to fit them: bolts, order of tightening, spacers, cuts."""
