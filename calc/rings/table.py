"""The table of a ring set: what every index pair does, in whole mdeg, as immutable bytes under their own hash.

Only Python makes tables; the phone reads them. It must never round differently: a table's name is its content.
"""

import hashlib
from functools import lru_cache

import numpy as np

from calc.numbers.strict_json import bytes_from_object
from calc.numbers.units import mdeg_from_radians
from calc.rings.rings import RingSet, effect_of_pair


@lru_cache(maxsize=16)
def effects_of(ring_set: RingSet) -> tuple[np.ndarray, np.ndarray]:
    """Return (camber, toe) of all index pairs, each (rows, columns) int64 mdeg, rounded half to even, read-only.

    Row k is inner mark first_mark + k, column l outer mark first_mark + l. Kept for the ring sets last asked for.
    """
    inner_marks, outer_marks = ring_set.inner.mark_numbers, ring_set.outer.mark_numbers
    angles_rad = effect_of_pair(ring_set, inner_marks[:, None], outer_marks[None, :])
    camber, toe = (np.rint(mdeg_from_radians(angle_rad)).astype(np.int64) for angle_rad in angles_rad)
    camber.flags.writeable = toe.flags.writeable = False
    return camber, toe


def offered_of(ring_set: RingSet) -> np.ndarray:
    """Return which index pairs may be offered, (rows, columns) bool: none that tilts more than `max_tilt_mdeg`.

    Compared as squares of the table's whole mdeg, so that a pair exactly on the limit is offered everywhere.
    """
    camber, toe = effects_of(ring_set)
    limit = ring_set.max_tilt_mdeg
    return np.full(camber.shape, True) if limit is None else camber**2 + toe**2 <= limit**2


def table_of(ring_set: RingSet) -> dict:
    """Return the columnar table (calc/README: Ring pairs): row-major lists of camber and toe, mdeg."""
    camber, toe = effects_of(ring_set)
    rows, columns = camber.shape
    return {
        "format": 1,
        "ring_set": ring_set.to_json(),
        "rows": rows,
        "columns": columns,
        "unit": "mdeg",
        "camber": camber.ravel().tolist(),
        "toe": toe.ravel().tolist(),
    }


def table_bytes(ring_set: RingSet) -> bytes:
    """Return the table as canonical JSON bytes; the same ring set always gives the same bytes."""
    return bytes_from_object(table_of(ring_set))


def table_name(content: bytes) -> str:
    """Return the name of a table: the SHA-256 of its bytes, 64 hex digits.

    >>> table_name(b"")[:16]
    'e3b0c44298fc1c14'
    """
    return hashlib.sha256(content).hexdigest()
