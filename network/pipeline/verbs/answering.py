"""The keeper's verb: answering what the steward asked. It changes no reading; the steward decides what follows."""

from datetime import date
from typing import Any

from django.db import transaction
from django.utils import timezone

from network.models import Answer, Decision
from network.pipeline.cases.setting import NotPossible


@transaction.atomic
def answer(question: Decision, by: Any, said: str, words: str = "", changed_on: date | None = None) -> Answer:
    """Write an answer down; the stewards are told of it, and the desk shows it. Raises NotPossible.

    ``changed_on`` is the village day on which something was moved or changed, with CHANGED and only then.
    """
    question = Decision.objects.select_for_update(of=("self",)).get(pk=question.pk)
    if question.kind != Decision.Kind.ASK:
        raise NotPossible("That is not a question.")
    if question.undone_at is not None:
        raise NotPossible("The steward has taken this question back: nothing needs to be answered any more.")
    made = Answer(question=question, said=said, words=words[:300], changed_on=changed_on, made_by=by)
    made.full_clean()
    made.save()
    question.notices.filter(read_at=None).update(read_at=timezone.now())
    return made
