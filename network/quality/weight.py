"""How far the maps trust a station: what is known of its instrument and its place, and what its record shows."""

import numpy as np

from network.quality.scorecard import Scored

STEP = 1.25
"""Errors in the maps go by steps of a quarter, so that a day's news does not redraw a month."""

PRIOR = 20.0
"""What is stated of a station counts as much as so many independent frames of its record (common practice)."""

LEAST, MOST = 0.5, 10.0
"""No error is taken for less or more than this, in the usual accuracy of the variable."""


def error_in_maps(stated: float, accuracy: float, score: Scored | None) -> float:
    """The standard error with which a station stands in the maps [unit of the variable].

    Parameters
    ----------
    stated : float
        Instrument and siting together.
    accuracy : float
        The usual accuracy of the variable, from the catalogue; the steps count from it.
    score : Scored, optional
        The station's record so far.

    Half of the stated variance is taken for scatter and half for what lasts (common practice). The scatter is
    averaged with the record's, each by how much it is worth; the lasting error is what the bias leaves to
    expect of it (Gelman et al. 2013, Bayesian Data Analysis, sections 2.5 and 2.6; from memory). A bias beyond
    two of its errors is believed in whole.
    """
    scatter = lasting = stated**2 / 2
    if score is not None:
        if np.isfinite(score.random_error):
            scatter = (PRIOR * scatter + score.independent * score.random_error**2) / (
                PRIOR + score.independent
            )
        doubt = float(np.nansum(np.square([score.bias_error, score.expected_error])))
        share = lasting / (lasting + doubt)
        expected = (share * score.bias) ** 2 + (1 - share) * lasting
        lasting = max(expected, score.bias**2 - 4 * doubt)
    steps = np.log(np.clip(np.sqrt(scatter + lasting) / accuracy, LEAST, MOST)) / np.log(STEP)
    return float(accuracy * STEP ** np.round(steps))
