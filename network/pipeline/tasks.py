"""Celery's nudges. They carry no data and decide nothing: lose them all, and the next look finds the work."""

import logging
from functools import partial

from celery import shared_task
from django.core.cache import caches
from django.db import transaction
from kombu.exceptions import OperationalError

from network.pipeline.ledger import work
from network.pipeline.stages import STAGES
from network.pipeline.telling import answers, notices

logger = logging.getLogger(__name__)

AT_ONCE = 50
"""Pieces of work in one look; the next nudge takes the rest."""


@shared_task
def look(village: int | None = None) -> None:
    """Do what is due, of one village or of all."""
    for _ in range(AT_ONCE):
        if work.do_next(STAGES, village) is None:
            return
    look.delay(village)


@shared_task
def tell() -> None:
    """Tell keepers what they should know, and stewards what keepers answered."""
    notices.write()
    notices.send()
    answers.send()


@shared_task
def foresee_batteries() -> None:
    """Tell keepers whose battery will not last; nights do not go faster than by the day."""
    notices.write_of_batteries()


GATHER = 1.0
"""[s] Nudges within this time are one: reports of many stations come at the same minute."""


def nudge(village: int) -> None:
    """Ask a worker to look, once the transaction at hand is durable."""
    transaction.on_commit(partial(_send, village))


def _send(village: int) -> None:
    # The look comes after the time in which further nudges are held back, so it sees what caused them.
    if caches["near"].add(f"nudged:{village}", 1, GATHER):
        try:
            look.apply_async((village,), countdown=GATHER)
        except OperationalError as error:  # the broker is away: the look of the next minute finds the work
            logger.warning("No worker could be nudged (%s).", error)
