"""How many files take part in one typed angle, counted by running it, so that the walk does not grow unseen.

A file more is a file more to read for whoever looks for a fault in it. Where the walk has become shorter, these become
lower.
"""

import pytest

from tests.walk_files import told, walked

MOST = {"phone": 102, "server": 28, "desk": 49}


@pytest.fixture(scope="module")
def walk(browser, tmp_path_factory):
    return walked(browser, tmp_path_factory.mktemp("walk"))


@pytest.mark.full
@pytest.mark.parametrize("part", MOST)
def test_a_typed_angle_goes_through_no_more_files(walk, part):
    files = getattr(walk, part)
    assert MOST[part] / 2 < len(files) <= MOST[part], told(files)
