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
ROUNDS = 4  # of filling the gaps of a record: each leaves a fraction of the change before

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
            spoken, silent = np.ix_(mask, times), np.ix_(~mask, times)
            departure = (measured - mean)[spoken]
            precision, toward, left = _conditional(self.covariance, mask)
            variance = 1 / np.diag(precision)
            expected[spoken] = departure - variance[:, None] * (precision @ departure)
            error[spoken] = np.sqrt(variance)[:, None]
            expected[silent] = toward @ departure
            error[silent] = np.sqrt(np.diag(left))[:, None]
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
    known = np.isfinite(values)
    own_noise = np.broadcast_to(np.asarray(noise, dtype=np.float64), (len(sites),))
    model = field.covariance(field.apart(sites, sites)) + np.diag(own_noise**2)
    mean = _means(values, part, count)
    weather = np.nansum(values - mean[:, part], axis=0) / np.maximum(known.sum(axis=0), 1)
    model += float(np.var(weather))
    record = Record(mean, model, np.ones(len(sites)))
    for _ in range(1 if known.all() else ROUNDS):
        record = _improved(record, model, values, part, count)
    return record


def _improved(record: Record, model: Floats, values: Floats, part: Parts, count: int) -> Record:
    """Means and covariance once more, with the gaps filled as they now lead one to expect.

    Leaving the gaps out would not do: a station silent on the hot days would seem the steadiest.
    Source: expectation and maximisation, Dempster, Laird and Rubin (1977) (from memory).
    """
    filled, doubt = values.copy(), np.zeros(model.shape)
    for mask, times in patterns(np.isfinite(values)):
        if not mask.all():
            _, toward, left = _conditional(record.covariance, mask)
            mean = record.mean[:, part[times]]
            filled[np.ix_(~mask, times)] = mean[~mask] + toward @ (values[:, times] - mean)[mask]
            doubt[np.ix_(~mask, ~mask)] += len(times) * left
    mean = _means(filled, part, count)
    departure = filled - mean[:, part]
    total = MODEL_COUNTS_AS + values.shape[1]
    covariance = (MODEL_COUNTS_AS * model + departure @ departure.T + doubt) / total
    return Record(mean, covariance, record.widen)


def _conditional(covariance: Floats, mask: NDArray[np.bool_]) -> tuple[Floats, Floats, Floats]:
    """Precision of those in the mask, the weights that carry them to the rest, and the covariance then left."""
    precision = np.asarray(np.linalg.inv(covariance[np.ix_(mask, mask)]), dtype=np.float64)
    across = covariance[np.ix_(~mask, mask)]
    toward = across @ precision
    return precision, np.asarray(toward), covariance[np.ix_(~mask, ~mask)] - toward @ across.T


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
