"""What the hub remembers: reports as received, and all that follows from them."""

from network.models.answer import Answer
from network.models.case import Case
from network.models.comparison import Comparison
from network.models.decision import Decision
from network.models.evidence import Evidence
from network.models.field_fit import FieldFit
from network.models.finding import Finding
from network.models.notice import Notice
from network.models.observation import Observation
from network.models.report import Report
from network.models.score import Score
from network.models.skyline import Skyline
from network.models.summary import Summary
from network.models.village_map import VillageMap
from network.models.work import Work

__all__ = [
    "Answer",
    "Case",
    "Comparison",
    "Decision",
    "Evidence",
    "FieldFit",
    "Finding",
    "Notice",
    "Observation",
    "Report",
    "Score",
    "Skyline",
    "Summary",
    "VillageMap",
    "Work",
]
