"""How long work says how far it has come: a function that is called with what is done and what there is in all."""

from collections.abc import Callable

Progress = Callable[[int, int], None]


def unheard(_done: int, _total: int) -> None:
    """For work that nobody watches."""
