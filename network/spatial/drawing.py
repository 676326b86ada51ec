"""Draws of parameters that all explain the values well, for when no single set of them deserves belief."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

WALKERS = 24
STEPS = 60
LONGEST = 2.0  # of a stretch move, as its authors advise

Floats = NDArray[np.float64]


def draws(cost: Callable[[Floats], float], modes: Floats) -> Floats:
    """Parameters (WALKERS, p) distributed as ``exp(-cost)``, from some of its minima (m, p).

    The same arguments always give the same draws. The minima are where the walk begins, the better ones with
    more walkers, so that it need not find the way from one to the next.

    Source: the affine-invariant ensemble sampler of Goodman and Weare (2010), Comm. App. Math. and Comp. Sci. 5,
    65-80 (from memory).
    """
    random = np.random.default_rng(1)
    heights = np.array([cost(mode) for mode in modes])
    share = np.exp(heights.min() - heights)
    begin = random.choice(len(modes), WALKERS, p=share / share.sum())
    walkers = modes[begin] + random.normal(0, 0.1, (WALKERS, modes.shape[1]))
    costs = np.array([cost(walker) for walker in walkers])
    for _ in range(STEPS):
        one, other = np.split(random.permutation(WALKERS), 2)
        for movers, still in ((one, other), (other, one)):
            _move(cost, walkers, costs, movers, still, random)
    return walkers


def _move(
    cost: Callable[[Floats], float],
    walkers: Floats,
    costs: Floats,
    movers: NDArray[np.intp],
    still: NDArray[np.intp],
    random: np.random.Generator,
) -> None:
    """Let each mover try a place on the line through one of those that stand still."""
    for mover in movers:
        other = walkers[random.choice(still)]
        stretch = (1 + (LONGEST - 1) * random.random()) ** 2 / LONGEST
        there = other + stretch * (walkers[mover] - other)
        price = cost(there)
        gain = (walkers.shape[1] - 1) * np.log(stretch) + costs[mover] - price
        if np.log(random.random()) < gain:
            walkers[mover], costs[mover] = there, price
