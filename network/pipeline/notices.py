"""Messages to keepers: what happened, why the hub doubts it, what it did, what they can do."""

import logging
import time
from smtplib import SMTPException

from django.conf import settings
from django.core.mail import send_mail
from django.db.models import Q
from django.template.loader import render_to_string
from django.utils import timezone

from network.models import Case, Decision, Notice
from network.pipeline import blocks
from network.quality.checks import CHECKS
from network.science.variables import VARIABLES
from stations.models import Station

logger = logging.getLogger(__name__)

RECENT = 3 * blocks.DAY
"""[s] Cases older than this are for the desk; a keeper is told of what goes on."""


def tell(station: Station, cause: str, words: str) -> None:
    """Write a notice, unless the same cause was told today."""
    today = timezone.now().astimezone(station.household.village.clock).date()
    Notice.objects.get_or_create(station=station, cause=cause[:80], day=today, defaults={"words": words})


def write() -> None:
    """Tell the keepers of open cases that still go on; each case once a day at most."""
    going_on = Case.objects.open().filter(ends_at__gte=time.time() - RECENT)
    for case in going_on.select_related("station__household__village"):
        tell(case.station, f"case {case.variable} {case.check_name}", of_case(case))


def send() -> None:
    """E-mail what has not gone out yet; a mail server that is away is asked again next time."""
    waiting = Notice.objects.filter(sent_at=None).select_related("station__household")
    for notice in waiting.order_by("made_at")[:100]:
        members = notice.station.household.memberships.exclude(
            Q(person__email="") | Q(person__is_active=False)
        )
        to = list(members.values_list("person__email", flat=True))
        try:
            if to:
                subject = f"{notice.station.name}: a notice from your village's weather stations"
                send_mail(subject, notice.words, settings.DEFAULT_FROM_EMAIL, to)
        except (SMTPException, OSError) as error:
            logger.warning("Notices wait: the mail server does not answer (%s).", error)
            return
        notice.sent_at = timezone.now()
        notice.save(update_fields=["sent_at"])


def of_case(case: Case) -> str:
    """A case in a keeper's words."""
    return render_to_string(
        "notices/case.txt",
        {"case": case, "check": CHECKS[case.check_name], "variable": VARIABLES[case.variable]},
    ).strip()


def of_decision(decision: Decision) -> str:
    """A decision in a keeper's words."""
    variable = VARIABLES[decision.variable].words if decision.variable else ""
    return render_to_string("notices/decision.txt", {"decision": decision, "variable": variable}).strip()
