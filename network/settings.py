"""Settings, one file, read from the environment. DEVELOPERS.md lists the names."""

import os
from pathlib import Path

import environ
import plotly
from celery.schedules import crontab
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from network import environment

HOUSE = Path(__file__).resolve().parent.parent
DATA = Path(os.environ.get("HUB_DATA", HOUSE / "var"))
DATA.mkdir(parents=True, exist_ok=True)
env = environ.Env()

DEBUG = environment.switch("HUB_DEBUG", False)
SITE_URL = os.environ.get("HUB_SITE_URL", f"http://127.0.0.1:{os.environ.get('PORT', '8000')}").rstrip("/")
ALLOWED_HOSTS = environment.names("HUB_HOSTS", "127.0.0.1,localhost")
CSRF_TRUSTED_ORIGINS = environment.names("HUB_TRUSTED_ORIGINS")


def _secret_key() -> str:
    """The key from the environment, or one made once and kept beside the data (mode 0600)."""
    if "HUB_SECRET_KEY" in os.environ:
        return os.environ["HUB_SECRET_KEY"]
    kept = DATA / "secret_key"
    if not kept.exists():
        if "DATABASE_URL" in os.environ and os.environ["DATABASE_URL"].startswith("postgres"):
            raise ImproperlyConfigured("HUB_SECRET_KEY is not set: set it to a long random text.")
        from django.core.management.utils import get_random_secret_key

        with os.fdopen(os.open(kept, os.O_WRONLY | os.O_CREAT, 0o600), "w") as file:
            file.write(get_random_secret_key())
    return kept.read_text()


SECRET_KEY = _secret_key()

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.contrib.admin",
    "rest_framework",
    "drf_spectacular",
    "axes",
    "csp",
    "stations",
    "network",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "csp.middleware.CSPMiddleware",
    "network.web.reader.ReaderMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "network.urls"
WSGI_APPLICATION = "network.wsgi.application"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [HOUSE / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.template.context_processors.i18n",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "network.web.nav.desks",
            ],
        },
    }
]

DATABASES = {"default": env.db_url("DATABASE_URL", default=f"sqlite:///{DATA / 'hub.sqlite3'}")}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    # A device's 202 promises that its report survives a power cut, hence synchronous=FULL even with a WAL.
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA cache_size=-65536;",
    }
else:
    DATABASES["default"]["CONN_HEALTH_CHECKS"] = True
DATABASES["default"]["CONN_MAX_AGE"] = 600  # opening one costs more than a report

REDIS_URL = os.environ.get("REDIS_URL", "")
EMBEDDED = not REDIS_URL
"""Whether web pages, worker and clock live in one process (one village) or apart (a district)."""

CACHES = {
    "default": {"BACKEND": "django.core.cache.backends.redis.RedisCache", "LOCATION": REDIS_URL}
    if REDIS_URL
    else {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"},
    # What each web process counts for itself: how often a device reports, whether a worker was just nudged.
    "near": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache", "LOCATION": "near"},
}

CELERY_BROKER_URL = REDIS_URL or "memory://localhost/"
CELERY_BROKER_TRANSPORT_OPTIONS = {} if REDIS_URL else {"polling_interval": 0.05}
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_ACKS_LATE = True
CELERY_WORKER_PREFETCH_MULTIPLIER = 1 if REDIS_URL else 64
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BEAT_SCHEDULER = "celery.beat.Scheduler"
CELERY_BEAT_SCHEDULE = {
    # The database is the list of work: a nudge a minute finds whatever a lost message left behind.
    "look for work": {"task": "network.pipeline.tasks.look", "schedule": 60.0},
    "tell keepers": {"task": "network.pipeline.tasks.tell", "schedule": crontab(minute="*/15")},
    "foresee batteries": {
        "task": "network.pipeline.tasks.foresee_batteries",
        "schedule": crontab(minute="10", hour="*/6"),
    },
}

AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
AXES_FAILURE_LIMIT = 8
AXES_COOLOFF_TIME = 0.25  # hours
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_RESET_ON_SUCCESS = True
AXES_LOCKOUT_TEMPLATE = "stations/locked_out.html"
AXES_VERBOSE = False
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "my-stations"
LOGOUT_REDIRECT_URL = "front"

SECURE_COOKIES = SITE_URL.startswith("https://")
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_COOKIES
SESSION_COOKIE_HTTPONLY = True
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_PROXY_SSL_HEADER = (
    ("HTTP_X_FORWARDED_PROTO", "https") if environment.switch("HUB_BEHIND_PROXY", False) else None
)
X_FRAME_OPTIONS = "DENY"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:", "blob:"],
        "connect-src": [SELF],
        "font-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}

LANGUAGE_CODE = "en-gb"
LANGUAGES = [("en-gb", "English"), ("de", "Deutsch")]
LOCALE_PATHS = [HOUSE / "network" / "locale", HOUSE / "network" / "science" / "locale"]
TIME_ZONE = "UTC"
USE_TZ = True
USE_I18N = True

STATIC_URL = "static/"
STATIC_ROOT = Path(os.environ.get("HUB_STATIC", DATA / "static"))
STATIC_ROOT.mkdir(parents=True, exist_ok=True)
STATICFILES_DIRS = [("plotly", Path(plotly.__file__).parent / "package_data")]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if EMBEDDED
        else "whitenoise.storage.CompressedManifestStaticFilesStorage"
    },
}
WHITENOISE_USE_FINDERS = EMBEDDED

# Until a mail server is named, what would be sent is kept as files beside the data.
EMAIL_CONFIG = env.email_url("EMAIL_URL", default=f"filemail:///{DATA / 'mail'}")
vars().update(EMAIL_CONFIG)
DEFAULT_FROM_EMAIL = os.environ.get("HUB_FROM_EMAIL", "hub@localhost")

REST_FRAMEWORK = {
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "DEFAULT_AUTHENTICATION_CLASSES": ["rest_framework.authentication.SessionAuthentication"],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.AllowAny"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "EXCEPTION_HANDLER": "network.web.refusals.as_sentence",
    "UNAUTHENTICATED_USER": "django.contrib.auth.models.AnonymousUser",
    "NUM_PROXIES": 1 if SECURE_PROXY_SSL_HEADER else 0,  # whose word about a reader's address is taken
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Village weather hub",
    "DESCRIPTION": "Stations, observations with verdicts and reasons, comparisons and maps of a village.",
    "VERSION": "1",
    "SERVE_INCLUDE_SCHEMA": False,
    "ENUM_GENERATE_CHOICE_DESCRIPTION": False,
    "POSTPROCESSING_HOOKS": [
        "drf_spectacular.hooks.postprocess_schema_enums",
        "network.web.api.reporting.describe",
    ],
}

REPORTS_PER_MINUTE = environment.whole_number("HUB_REPORTS_PER_MINUTE", 120)
MQTT_URL = os.environ.get("HUB_MQTT_URL", "mqtt://127.0.0.1:1883")
"""How many reports a station may hand over in a minute, to one web process."""

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "loggers": {
        "django.request": {"level": "ERROR"}
    },  # a refused report is told to its sender and its keeper
    "root": {"handlers": ["console"], "level": os.environ.get("HUB_LOG", "WARNING")},
}
