"""Since when something has spoken for a change: the run in which evidence sums highest.

Page (1954), Continuous inspection schemes, Biometrika 41, 100-115; from memory.
"""

import numpy as np

from network.quality.window import Floats


def strongest_run(evidence: Floats) -> tuple[int, int, int, float]:
    """The row of ``evidence`` (k, n) and the run in it with the highest sum.

    Each row holds the evidence for one explanation, positive where a value speaks for it. Returns the row, the
    first and the last of the run (both included) and its sum: 0 where there is nothing. NaN says nothing.
    """
    if evidence.size == 0:
        return 0, 0, 0, 0.0
    sums = np.cumsum(np.pad(np.nan_to_num(evidence), ((0, 0), (1, 0))), axis=1)
    lowest = np.minimum.accumulate(sums[:, :-1], axis=1)
    which, last = np.unravel_index(int(np.argmax(sums[:, 1:] - lowest)), evidence.shape)
    first = int(np.argmin(sums[which, : last + 1]))
    return int(which), first, int(last), float(sums[which, last + 1] - sums[which, first])
