"""One change in a copy of a nested JSON value."""

import copy


def changed(value, path, change):
    """Return a copy in which `change(holder, key)` was done at the path."""
    value = copy.deepcopy(value)
    holder = value
    for key in path[:-1]:
        holder = holder[key]
    change(holder, path[-1])
    return value
