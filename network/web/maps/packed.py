"""A head in JSON with arrays behind it, in one piece that a browser reads without parsing the arrays.

Four bytes say how long the head is, little-endian like everything here; each array begins on a multiple of four.
"""

import json
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

ALIGNED = 4

TYPES = {"float32": "<f4", "int16": "<i2", "uint8": "u1"}


def pack(head: Mapping[str, Any], arrays: Mapping[str, NDArray[Any]]) -> bytes:
    """The head, under whose "arrays" stands each array's name, type and shape, and the arrays in that order."""
    listed = [
        {"name": name, "type": str(array.dtype), "shape": array.shape} for name, array in arrays.items()
    ]
    said = json.dumps({**head, "arrays": listed}, ensure_ascii=False, separators=(",", ":")).encode()
    said += b" " * (-len(said) % ALIGNED)
    pieces = [len(said).to_bytes(ALIGNED, "little"), said]
    for array in arrays.values():
        piece = np.ascontiguousarray(array, dtype=TYPES[str(array.dtype)]).tobytes()
        pieces.append(piece + bytes(-len(piece) % ALIGNED))
    return b"".join(pieces)


def eastward_steps(pictures: NDArray[np.int16], columns: int) -> NDArray[np.int16]:
    """Pictures (r, g) with each cell told as the step from its western neighbour: neighbours differ little.

    The sums wrap around as they did here, so a reader who adds up in 16 bits gets the pictures back.
    """
    rows = pictures.reshape(len(pictures), pictures.shape[1] // columns, columns)
    steps = np.diff(rows, axis=2, prepend=np.int16(0))
    return np.asarray(steps.reshape(pictures.shape), dtype=np.int16)
