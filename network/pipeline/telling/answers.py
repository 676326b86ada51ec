"""Telling stewards what keepers answered."""

from django.conf import settings
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone

from network.models import Answer
from network.pipeline.metadata.tongue import from_epoch
from network.pipeline.telling.post import handed
from network.science.variables import VARIABLES
from stations.models import Membership


def send() -> None:
    """E-mail the answers that have not gone out yet; a mail server that is away is asked again next time."""
    waiting = Answer.objects.filter(told_at=None).select_related(
        "question__station__household__village", "made_by"
    )
    for answer in waiting[:100]:
        station = answer.question.station
        stewards = Membership.objects.stewards_of(station.household.village)
        others = stewards.exclude(person=answer.made_by).exclude(person__email="")
        to = list(others.values_list("person__email", flat=True).distinct())
        if not handed(to, f"{station}: its keeper has answered", _letter(answer)):
            return
        answer.told_at = timezone.now()
        answer.save(update_fields=["told_at"])


def _letter(answer: Answer) -> str:
    question, village = answer.question, answer.question.station.household.village
    variable, case = VARIABLES.get(question.variable), question.parameters.get("case")
    desk = reverse("case", args=[village.slug, case]) if case else reverse("desk", args=[village.slug])
    words = {
        "by": answer.made_by.get_username() if answer.made_by else "Its keeper",
        "about": f"the {variable.words} of {question.station}" if variable else question.station.name,
        "begins_at": from_epoch(question.begins_at),
        "question": question.reason,
        "answer": answer,
        "link": settings.SITE_URL + desk,
    }
    with timezone.override(village.clock):
        return render_to_string("notices/answered.txt", words).strip()
