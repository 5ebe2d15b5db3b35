"""Limits that more than one module of calc holds to, each with its reason. It computes nothing."""

# A rear wheel that reads beyond this is broken, or the reading is: no ring pair comes near it (ours; no source).
READING_LIMIT_MDEG = 20_000

# Default reading noise, below which differences do not decide (calc/README: Choosing).
BAND_CAMBER_MDEG = 50
BAND_TOE_MDEG = 30

# Default standard deviations (calc/README: Choosing).
CAMBER_SD_MDEG = 50
TOE_SD_MDEG = 30
THRUST_SD_MDEG = 15
CLOCK_SD_DEG = 2.0
MARK_SD_STEPS = 0.15
SEAT_SD_MDEG = 20
