"""The Celery application. Its messages only say 'look': the database is the list of work."""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "network.settings")
app = Celery("network")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks(["network.pipeline"])
