"""Which tests run on both databases. All others run on SQLite, which every shop begins with."""

import pytest

# For tests of what the two could do differently: statements of their own, order, locks, text, what a fault leaves.
on_both_databases = pytest.mark.parametrize("store", ["sqlite", "postgresql"], indirect=True)
