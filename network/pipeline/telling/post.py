"""Handing e-mails to the mail server, and what to think when it will not have them."""

import logging
from smtplib import SMTPException, SMTPRecipientsRefused

from django.conf import settings
from django.core.mail import send_mail

logger = logging.getLogger(__name__)


def handed(to: list[str], subject: str, words: str) -> bool:
    """Whether there is nothing left to send: False only where the server is away, and should be asked again."""
    try:
        if to:
            one_line = " ".join(subject.split())
            send_mail(one_line, words, settings.DEFAULT_FROM_EMAIL, to)
    except SMTPRecipientsRefused as error:  # nobody to wait for: the page still says it
        logger.warning("'%s' could not be addressed (%s).", subject, error)
    except (SMTPException, OSError) as error:
        logger.warning("E-mails wait: the mail server does not answer (%s).", error)
        return False
    return True
