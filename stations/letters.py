"""E-mails about accounts: one text file each, sent at once, because whoever asked looks for them now."""

import logging
from collections.abc import Iterable
from smtplib import SMTPException
from typing import Any

from django.conf import settings
from django.core.mail import send_mail
from django.template.loader import render_to_string

logger = logging.getLogger(__name__)


def post(to: Iterable[str], subject: str, letter: str, **words: Any) -> bool:
    """Send one of templates/stations/letters/; False when there was no address, or it did not go out."""
    addresses = [address for address in to if address]
    if not addresses:
        return False
    text = (
        render_to_string(f"stations/letters/{letter}.txt", words | {"site": settings.SITE_URL}).strip() + "\n"
    )
    sent = False
    for address in addresses:  # one by one: nobody's address is anybody else's business
        try:
            sent |= bool(send_mail(" ".join(subject.split()), text, settings.DEFAULT_FROM_EMAIL, [address]))
        except (SMTPException, OSError) as error:
            logger.warning("The letter '%s' did not go out (%s).", letter, error)
    return sent
