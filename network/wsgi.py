"""The door for WSGI servers."""

import gc
import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "network.settings")
application = get_wsgi_application()

# What has been loaded by now stays, and a batch of a day makes thousands of small objects that all go at once:
# looking through them while they are in use slowed it by a third.
gc.collect()
gc.freeze()
gc.set_threshold(50_000)
