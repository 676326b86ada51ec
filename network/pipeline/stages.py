"""Which module does which stage of the ledger."""

from network.models import Work
from network.pipeline.cases.raise_cases import raise_cases
from network.pipeline.maps.draw import draw
from network.pipeline.maps.learn import learn
from network.pipeline.neighbours.compare import compare
from network.pipeline.neighbours.long_run import look_back
from network.pipeline.records.summarise import summarise
from network.pipeline.reports.normalise import normalise
from network.pipeline.verdicts.check import check

STAGES = {
    Work.Stage.NORMALISE: normalise,
    Work.Stage.CHECK: check,
    Work.Stage.COMPARE: compare,
    Work.Stage.MAP: draw,
    Work.Stage.SUMMARISE: summarise,
    Work.Stage.RAISE_CASES: raise_cases,
    Work.Stage.LONG_RUN: look_back,
    Work.Stage.LEARN: learn,
}
"""Each takes a village and a block, computes, and returns what writes its results."""
