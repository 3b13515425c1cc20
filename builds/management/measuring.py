"""The shop's settings for `manage.py measure load` alone: beside its pages stand bare ones, and
Django's own list of the same builds. Never those of a shop that works.
"""

from shop.settings import *  # noqa: F403 - the shop's own settings, and a little more
from shop.settings import INSTALLED_APPS, TEMPLATES

INSTALLED_APPS = [*INSTALLED_APPS, "django.contrib.admin"]
MIGRATION_MODULES = {"admin": None}  # its log is not asked for: no table of it
TEMPLATES = [
    *TEMPLATES,
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "NAME": "beside",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ]
        },
    },
]
ROOT_URLCONF = "builds.management.measuring_urls"
SILENCED_SYSTEM_CHECKS = ["admin.E402", "admin.E404", "admin.E406", "admin.E408", "admin.E409"]
