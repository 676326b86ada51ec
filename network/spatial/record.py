"""What the others say of a station whose own past is on record.

A place nobody has measured can only be read off the map. Of a station that has long reported one knows more:
how it differs from its neighbours at this time of day, and which of them it follows. That outweighs any
interpolation, so this is what a silent or doubted station is expected to read.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from network.spatial.calibration import widening
from network.spatial.field import Field
from network.spatial.patterns import patterns
from network.spatial.sites import Sites

MODEL_COUNTS_AS = 50.0  # times of record that the field is worth: with fewer the field has the say
MEAN_COUNTS_AS = 20.0  # times by which the mean of a part of the day is drawn to that of all
FOLDS = 5

Floats = NDArray[np.float64]
Parts = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Record:
    """The means, by part, and the covariance of stations that have a past together."""

    mean: Floats  # (n, parts) [unit]
    covariance: Floats  # (n, n), noise included [unit squared]
    widen: Floats  # (n,): the intervals as a multiple of what the covariance says

    def without(self, values: ArrayLike, part: ArrayLike) -> tuple[Floats, Floats]:
        """Each station's value by all the others, and its standard error, both (n, t).

        ``values`` have shape (n, t), NaN where a station is silent (it is expected all the same); ``part``
        (t,) is the part each time falls in. The error is that of an observation: the station's own noise is
        in it. With nobody else to ask, the mean of the record is the answer.

        Source: the conditional Gaussian in closed form, Dubrule (1983), Mathematical Geology 15 (from memory).
        """
        measured = np.asarray(values, dtype=np.float64)
        mean = self.mean[:, np.asarray(part)]
        expected, error = np.empty(measured.shape), np.empty(measured.shape)
        for mask, times in patterns(np.isfinite(measured)):
            departure = (measured - mean)[np.ix_(mask, times)]
            precision = np.linalg.inv(self.covariance[np.ix_(mask, mask)])
            variance = 1 / np.diag(precision)
            expected[np.ix_(mask, times)] = departure - variance[:, None] * (precision @ departure)
            error[np.ix_(mask, times)] = np.sqrt(variance)[:, None]
            toward = self.covariance[np.ix_(~mask, mask)] @ precision
            own = np.diag(self.covariance)[~mask] - np.sum(
                toward * self.covariance[np.ix_(~mask, mask)], axis=1
            )
            expected[np.ix_(~mask, times)] = toward @ departure
            error[np.ix_(~mask, times)] = np.sqrt(np.maximum(own, 0.0))[:, None]
        return mean + expected, error * self.widen[:, None]


def learn(sites: Sites, noise: ArrayLike, field: Field, values: ArrayLike, part: ArrayLike) -> Record:
    """Learn means and covariance from values (n, t) of the past, each time in a part (t,) numbered from 0.

    The covariance of the record is drawn towards that of the field, the more the shorter the record. The
    intervals are widened by what a fifth of the record, left out in one stretch, shows of the rest.

    Source: Le and Zidek (1992), J. Multivariate Analysis 43, 351-374 (from memory): the field's covariance as
    the middle of an inverse Wishart prior.
    """
    measured, parts = np.asarray(values, dtype=np.float64), np.asarray(part, dtype=np.intp)
    count = int(parts.max()) + 1
    whole = _learn(sites, noise, field, measured, parts, count)
    departure, error = np.full(measured.shape, np.nan), np.ones(measured.shape)
    for out in np.array_split(np.arange(measured.shape[1]), FOLDS):
        rest = np.setdiff1d(np.arange(measured.shape[1]), out)
        if rest.size and out.size:
            other = _learn(sites, noise, field, measured[:, rest], parts[rest], count)
            expected, error[:, out] = other.without(measured[:, out], parts[out])
            departure[:, out] = measured[:, out] - expected
    widen = np.array([widening(*pair) for pair in zip(departure, error, strict=True)])
    return Record(whole.mean, whole.covariance, widen)


def _learn(sites: Sites, noise: ArrayLike, field: Field, values: Floats, part: Parts, count: int) -> Record:
    mean = _means(values, part, count)
    departure = np.nan_to_num(values - mean[:, part])
    known = np.isfinite(values).astype(np.float64)
    together = known @ known.T
    model = field.covariance(field.apart(sites, sites))
    model[np.diag_indices(len(sites))] += (
        np.broadcast_to(np.asarray(noise, dtype=np.float64), (len(sites),)) ** 2
    )
    model += float(np.var(_centre(departure, known)))
    pooled = (MODEL_COUNTS_AS * model + departure @ departure.T) / (MODEL_COUNTS_AS + together)
    return Record(mean, _positive(pooled), np.ones(len(sites)))


def _means(values: Floats, part: Parts, count: int) -> Floats:
    """Each station's mean in each part (n, count), drawn to its mean of all times where the part has few."""
    known = np.isfinite(values)
    of_all = np.nan_to_num(values).sum(axis=1) / np.maximum(known.sum(axis=1), 1)
    of_all = np.where(known.any(axis=1), of_all, of_all[known.any(axis=1)].mean())
    departure = np.where(known, values - of_all[:, None], 0.0)
    total, times = np.zeros((len(values), count)), np.zeros((len(values), count))
    for number in range(count):
        total[:, number] = departure[:, part == number].sum(axis=1)
        times[:, number] = known[:, part == number].sum(axis=1)
    return np.asarray(of_all[:, None] + total / (times + MEAN_COUNTS_AS))


def _centre(departure: Floats, known: Floats) -> Floats:
    """What all stations share at each time (t,): the variance of the weather itself."""
    return np.asarray(departure.sum(axis=0) / np.maximum(known.sum(axis=0), 1.0))


def _positive(covariance: Floats) -> Floats:
    """The nearest matrix that can be a covariance: gaps in a record may leave one that is not."""
    size, axes = np.linalg.eigh(covariance)
    return np.asarray((axes * np.maximum(size, 1e-6 * size[-1])) @ axes.T)
