"""Django's settings; `LOOMWRIGHT_DATABASE` and `LOOMWRIGHT_DATA` are all that changes.

Importing it opens and makes nothing: `serving.made_ready` does.
"""

from __future__ import annotations

import os
from pathlib import Path

import tzlocal

from loomwright.workshop.data_folder import data_place
from loomwright.workshop.database_address import DATABASE_SETTING, database

_HERE = Path(__file__).parent

SECRET_KEY = os.environ.get("LOOMWRIGHT_SECRET", "")  # kept in the data folder
DEBUG = False
ALLOWED_HOSTS = ["*"]  # `gate` lets in plain addresses and this machine's names only
DATABASES = {"default": database(os.environ.get(DATABASE_SETTING, ""), data_place())}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.staticfiles",
    "django_htmx",
    "simple_history",
    "loomwright.workshop.apps.Workshop",
]
MIDDLEWARE = [
    "loomwright.workshop.gate.sealed",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "loomwright.workshop.gate.gate",
    "loomwright.workshop.readable.readable",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "simple_history.middleware.HistoryRequestMiddleware",
    "loomwright.workshop.once.taken_once",
    "loomwright.workshop.answering.Answering",
]
ROOT_URLCONF = "loomwright.workshop.urls"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [_HERE / "templates"],
        "OPTIONS": {
            "context_processors": ["django.template.context_processors.request"],
            "builtins": [
                "django.templatetags.static",
                "django_htmx.templatetags.django_htmx",
                "loomwright.workshop.templatetags.drawn",
            ],
        },
    }
]
STATIC_URL = "/static/"
STATICFILES_DIRS = [_HERE / "static"]
WHITENOISE_USE_FINDERS = True  # straight from the packages: nothing is collected or copied

LANGUAGE_CODE = "en-gb"
USE_TZ = True
TIME_ZONE = tzlocal.get_localzone_name()  # Django sets the whole process to it

SESSION_COOKIE_AGE = 365 * 24 * 3600  # a tablet on the wall stays signed in
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_ENGINE = "django.contrib.sessions.backends.db"
CSRF_COOKIE_SAMESITE = "Lax"
CSRF_FAILURE_VIEW = "loomwright.workshop.answering.stale_form"
DATA_UPLOAD_MAX_MEMORY_SIZE = 8_000_000  # a pasted table; photos count apart
DATA_UPLOAD_MAX_NUMBER_FIELDS = 5_000
FILE_UPLOAD_MAX_MEMORY_SIZE = 8_000_000

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {
        "failures": {
            "class": "logging.FileHandler",
            "filename": str(data_place() / "failures.log"),
            "delay": True,
            "encoding": "utf-8",
        }
    },
    "loggers": {
        "loomwright.workshop": {"handlers": ["failures"], "level": "ERROR", "propagate": False},
        "django.request": {"handlers": ["failures"], "level": "ERROR", "propagate": False},
    },
}
