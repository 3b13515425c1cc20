"""Wiring. Every value that may differ from one shop to the next comes from shop.env."""

from importlib.util import find_spec
from typing import Any

import dj_database_url
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from shop import env

BASE_DIR = env.BASE_DIR
DATA_DIR = env.data_dir()


def _needed_secret(name: str, file_name: str) -> str:
    value = env.secret(name, file_name)
    if len(value) < 32:
        raise ImproperlyConfigured(
            f"{name} is missing or shorter than 32 signs. "
            f"Run `python3 manage.py start` once, which makes one, or set {name}."
        )
    return value


SECRET_KEY = _needed_secret("SECRET_KEY", "secret_key")
# Signs the customers' private links; kept apart so that a new SECRET_KEY leaves them alive.
LINK_KEY = _needed_secret("LINK_KEY", "link_key")
DEBUG = False

INSTALLED_APPS = [
    "shop.apps.ShopConfig",
    "builds.apps.BuildsConfig",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
    "csp",
]
MIDDLEWARE = [
    "shop.web.watched.Watched",
    "shop.web.bare.BareFirst",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "shop.people.sessions.SeenNow",
    "shop.web.uploads.NoFilesFromStrangers",
    "shop.web.uploads.FewBodiesFromStrangers",
    "shop.web.reading.ReadOnce",
    "shop.house.zone.ShopZone",
    "shop.house.hosts.KnownHost",
    "shop.house.first_setup.FirstSetup",
    "shop.people.speech.OwnLanguage",
    "shop.people.sign_in_first.SignInFirst",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "shop.web.headers.PrivateByDefault",
    "shop.later.once.Once",
]
ROOT_URLCONF = "shop.urls"
WSGI_APPLICATION = "shop.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": False,
        "OPTIONS": {
            "loaders": [
                (
                    "django.template.loaders.cached.Loader",
                    ["django.template.loaders.filesystem.Loader"],
                )
            ],
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.messages.context_processors.messages",
                "shop.people.context.frame",
            ],
            "builtins": ["shop.templatetags.draw"],
        },
    }
]

SQLITE_OPTIONS = {
    # A read-then-write transaction under SQLite's default mode fails with "database is locked"
    # instead of waiting; IMMEDIATE takes the write lock first and waits its turn.
    "transaction_mode": "IMMEDIATE",
    "timeout": 20,
    "init_command": (
        "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA cache_size=-16000; "
        "PRAGMA mmap_size=134217728; PRAGMA temp_store=MEMORY; "
        # Without it INSERT OR REPLACE deletes a row past the triggers of append-only tables.
        "PRAGMA recursive_triggers=ON;"
    ),
}
DATABASES = {
    "default": dj_database_url.parse(
        env.text("DATABASE_URL", f"sqlite:///{DATA_DIR / 'hiltyard.sqlite3'}"),
        conn_max_age=60,
        # A PostgreSQL that was started anew costs nobody a page; SQLite is not asked.
        conn_health_checks=True,
    )
}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    DATABASES["default"] |= {"ENGINE": "shop.sqlite", "OPTIONS": SQLITE_OPTIONS}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "shop.User"
# The first hashes anew; the second only reads what an older shop has, until its next sign-in.
PASSWORD_HASHERS = [
    "shop.web.hashing.Argon2id",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "shop.people.validators.NotOfTheShop"},
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ("name", "email")},
    },
]
LOGIN_URL = "people_sign_in"
LOGIN_REDIRECT_URL = "bench_today"
# Pages that lie in rooms above those that lead to them.
FIRST_SETUP_URL = "desk_first_setup"
FORGOT_URL = "desk_forgot"
CONFIRM_URL = "people_confirm"
PASSWORD_RESET_TIMEOUT = 60 * 60 * 24

LANGUAGE_CODE = "en-gb"
# By their own names: whoever looks for theirs may not read another. Words lie in shop/locale.
LANGUAGES = [("en-gb", "English"), ("de", "Deutsch")]
LOCALE_PATHS = [BASE_DIR / "shop" / "locale"]
USE_I18N = True
TIME_ZONE = "UTC"
USE_TZ = True

STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
STATICFILES_DIRS = [BASE_DIR / "static"]
MEDIA: dict[str, Any] = {
    "BACKEND": "shop.files.storage.DurableStorage",
    "OPTIONS": {"location": DATA_DIR / "media"},
}
if STORE := env.object_store():
    if find_spec("storages") is None:
        raise ImproperlyConfigured(
            "MEDIA_STORE names an object store, and what speaks to one is not installed yet. "
            "Type `python3 -m shop.bootstrap s3` once."
        )
    MEDIA = {
        "BACKEND": "shop.files.objects.ObjectStorage",
        "OPTIONS": {"spool": DATA_DIR / "media", **STORE},
    }
STORAGES = {
    "default": MEDIA,
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}
# A reverse proxy that may read the media folder sends private files itself when this names its
# internal location, such as /private/; otherwise they go through the application.
ACCEL_REDIRECT = "" if STORE else env.text("ACCEL_REDIRECT")
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
# A folder of sounds chosen in the browser; each is an open file while it comes.
DATA_UPLOAD_MAX_NUMBER_FILES = 500
FILE_UPLOAD_TEMP_DIR = None

# Reads EMAIL_URL anew for every mail, so that what the owner types counts without a restart.
EMAIL_BACKEND = "shop.web.mailserver.Backend"

REDIS_URL = env.text("REDIS_URL", env.broker_url())
# The clock lives in the worker unless a separate beat process is run (several machines).
EMBEDDED_CLOCK = env.flag("EMBEDDED_CLOCK", True)

# Without a list, shop.house.hosts looks at the two addresses that the owner typed.
ALLOWED_HOSTS = env.names("ALLOWED_HOSTS") or ["*"]
# Behind a proxy every connection is the proxy's own: the header in which it names the caller.
CALLER_HEADER = env.text("CALLER_HEADER")
# The header in which a proxy hands on the id that it gave the request; without one we make it.
REQUEST_ID_HEADER = env.text("REQUEST_ID_HEADER")
# Who asks for /metrics from another machine must show this: Authorization: Bearer …
METRICS_TOKEN = env.text("METRICS_TOKEN")
CSRF_TRUSTED_ORIGINS = env.names("TRUSTED_ORIGINS")
HTTPS = env.flag("HTTPS")
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HTTPS
# Browsers take a cookie of such a name only over HTTPS, from this very host, for all of it.
COOKIE_PREFIX = "__Host-" if HTTPS else ""
SESSION_COOKIE_NAME = f"{COOKIE_PREFIX}sessionid"
CSRF_COOKIE_NAME = f"{COOKIE_PREFIX}csrftoken"
SECURE_SSL_REDIRECT = HTTPS
SECURE_HSTS_SECONDS = 31_536_000 if HTTPS else 0
if HTTPS:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
SESSION_ENGINE = "shop.people.sessions"
SESSION_COOKIE_AGE = 60 * 60 * 24 * 14
SESSION_COOKIE_HTTPONLY = CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
# Whether the shop's other subdomains speak HTTPS is not ours to promise (W005), and a browser's
# built-in list, which nobody can leave quickly, is the owner's own step (W021).
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "img-src": [SELF, "data:", "blob:"],
        "object-src": [NONE],
        "base-uri": [NONE],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
    }
}

MESSAGE_STORAGE = "shop.web.said.Said"
# "json": an object a line, and a line for each request and task; "text": what went wrong.
LOG_FORMAT = env.text("LOG_FORMAT", "text")
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {
        "text": {
            "()": "shop.web.logs.DiscreetFormatter",
            "format": "{asctime} {levelname} {name}: {message}",
            "style": "{",
        },
        "json": {"()": "shop.web.logs.JsonFormatter"},
    },
    "handlers": {
        "console": {
            "class": "logging.StreamHandler",
            "formatter": "json" if LOG_FORMAT == "json" else "text",
        }
    },
    "root": {"handlers": ["console"], "level": "WARNING"},
    "loggers": {
        "hiltyard": {"level": "INFO"},
        "hiltyard.request": {"level": "INFO" if LOG_FORMAT == "json" else "WARNING"},
        "hiltyard.task": {"level": "INFO" if LOG_FORMAT == "json" else "WARNING"},
    },
}
