"""Times at which the same stations report, so that each set of stations is factorised once."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

Times = NDArray[np.intp]
Mask = NDArray[np.bool_]
Floats = NDArray[np.float64]


def patterns(present: ArrayLike) -> Iterator[tuple[Mask, Times]]:
    """Group times by who is present.

    Takes a bool array of shape (n, t); yields the stations present as a mask (n,), and the times, in order,
    at which exactly these are.
    """
    here = np.asarray(present, dtype=np.bool_)
    if here.size == 0:
        return
    # Sorting whole columns as bytes is far cheaper than sorting rows of flags.
    packed = np.ascontiguousarray(np.packbits(here, axis=0).T)
    key = packed.view(np.dtype((np.void, packed.shape[1]))).ravel()
    _, first, group = np.unique(key, return_index=True, return_inverse=True)
    order = np.argsort(group, kind="stable")
    yield from zip(here.T[first], np.split(order, np.cumsum(np.bincount(group))[:-1]), strict=True)


def distinct(values: ArrayLike) -> tuple[Times, Times]:
    """The first of the times at which values (n, t), some NaN, are each other's like, and which each is like.

    So ``values[:, first][:, which]`` are the values again.
    """
    columns = np.nan_to_num(np.asarray(values, dtype=np.float64), nan=-np.inf, neginf=-np.inf)
    _, first, which = np.unique(columns, axis=1, return_index=True, return_inverse=True)
    return first, which.ravel()


def gather(parts: Sequence[tuple[Times, Sequence[Floats]]], count: int) -> list[Floats]:
    """Put what was worked out pattern by pattern back in the order of time.

    Each part has its times and some arrays of shape (g, times), or (g, 1) where one column stands for all of
    them. Returns as many arrays of shape (g, count), NaN at times in no part. A single part that holds every
    time is handed on without copying, so what had one column is then a read-only view of it.
    """
    first_times, first_arrays = parts[0]
    if len(first_times) == count:
        return [np.broadcast_to(array, (len(array), count)) for array in first_arrays]
    whole = [np.full((len(array), count), np.nan) for array in first_arrays]
    for times, arrays in parts:
        for target, array in zip(whole, arrays, strict=True):
            target[:, times] = array
    return whole
