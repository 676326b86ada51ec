"""The ledger of work to do: which block of which village must be computed again.

A row is written in the same transaction as what caused it, so nothing is forgotten; Celery only says
"look". A worker claims a row for a while and computes without holding a lock. It may keep its results
only while the claim is still its own, and the row goes away only if nobody marked it again meanwhile.
"""

from typing import Self

from django.db import models

from stations.models import Village

RECENT = 36 * 3600
"""[s] Blocks that begin within this time are done before older ones."""


class WorkQuerySet(models.QuerySet):
    """What is to be done, in the order that builds best."""

    def free(self, now: float) -> Self:
        return self.filter(due_at__lte=now, claimed_until__lte=now)

    def in_order(self, now: float) -> Self:
        """What people look at first: the last day and a half, then the rest; of these stage by stage, since what
        one stage finds at a block's edge concerns the next stage of the block beside it. The long run comes after
        them, and last what is learnt for the maps: that is learnt once, when all else is known."""
        return self.order_by(
            models.Case(
                models.When(stage=Work.Stage.LONG_RUN, then=1),
                models.When(stage=Work.Stage.LEARN, then=2),
                default=0,
            ),
            models.Case(models.When(block__gte=now - RECENT, then=0), default=1),
            "stage",
            "block",
        )


class Work(models.Model):
    """One stage of one block of one village."""

    class Stage(models.IntegerChoices):
        NORMALISE = 1, "normalise"
        CHECK = 2, "check"
        COMPARE = 3, "compare"
        MAP = 4, "map"
        SUMMARISE = 5, "summarise"
        RAISE_CASES = 6, "raise cases"
        LONG_RUN = 7, "long run"
        LEARN = 8, "learn"

    village = models.ForeignKey(Village, on_delete=models.CASCADE, related_name="work")
    stage = models.PositiveSmallIntegerField(choices=Stage)
    block = models.BigIntegerField(help_text="Its beginning (UTC epoch seconds).")
    generation = models.BigIntegerField(help_text="Changes each time the row is marked.")
    due_at = models.FloatField(default=0.0, help_text="Not before (UTC epoch seconds).")
    claim = models.CharField(max_length=32, blank=True, help_text="The worker's token.")
    claimed_until = models.FloatField(default=0.0)
    attempts = models.PositiveSmallIntegerField(default=0)
    problem = models.TextField(blank=True, help_text="Why the last attempt failed.")

    objects = WorkQuerySet.as_manager()

    taken: dict[int, int]
    """The rows claimed with this one for the blocks from its own on, itself among them: their generation then."""

    class Meta:
        constraints = [models.UniqueConstraint(fields=["village", "stage", "block"], name="work_once")]
        verbose_name_plural = "work"

    def __str__(self) -> str:
        return f"{self.get_stage_display()} {self.village}, block {self.block}"
