"""How long work reports its progress: a function that is called with what is done and with the total."""

from collections.abc import Callable

Progress = Callable[[int, int], None]


def unheard(_done: int, _total: int) -> None:
    """For work that nobody watches."""
