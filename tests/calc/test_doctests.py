"""Every example in calc's docstrings runs and says what it says."""

import doctest
import importlib
import pkgutil

import pytest

import calc

NAMES = [module.name for module in pkgutil.walk_packages(calc.__path__, "calc.")]
MODULES = [name for name in NAMES if name != "calc.__main__"]


@pytest.mark.parametrize("name", MODULES)
def test_examples(name):
    assert doctest.testmod(importlib.import_module(name)).failed == 0
