"""Every example in calc's docstrings runs and says what it says."""

import doctest
import importlib
import pkgutil

import pytest

import calc

MODULES = [module.name for module in pkgutil.iter_modules(calc.__path__) if module.name != "__main__"]


@pytest.mark.parametrize("name", MODULES)
def test_examples(name):
    assert doctest.testmod(importlib.import_module(f"calc.{name}")).failed == 0
