"""What all of calc counts with: units and rounding, checks of input, spreads and intervals. Knows no rings."""
