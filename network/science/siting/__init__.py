"""Siting: what stands around an instrument, the class of 1 to 5 that follows for each variable, and what it adds.

The classes are those of WMO-No. 8, volume I, annex 1.D, also published as ISO 19289. Slopes, distances, shares and
angles for temperature and the angles at a gauge were read second-hand; ratios at a gauge, wind and sunlight are
from memory. The originals decide.
"""

from network.science.siting.assessment import Assessment, Change, Finding
from network.science.siting.classes import FAMILIES, assess, family_of
from network.science.siting.surroundings import DIRECTIONS, Obstacle, Surroundings
from network.science.siting.uncertainty import added_uncertainty

__all__ = [
    "DIRECTIONS",
    "FAMILIES",
    "Assessment",
    "Change",
    "Finding",
    "Obstacle",
    "Surroundings",
    "added_uncertainty",
    "assess",
    "family_of",
]
