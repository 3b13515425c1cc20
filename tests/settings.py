"""The settings of the tests: the real ones, in a data folder that is thrown away."""

import os
import tempfile

os.environ.setdefault("HILTYARD_DATA", tempfile.mkdtemp(prefix="hiltyard-test-"))
os.environ.setdefault("SECRET_KEY", "tests-only-" + "s" * 40)
os.environ.setdefault("LINK_KEY", "tests-only-" + "l" * 40)

from shop.settings import *  # noqa: F403

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]  # slow ones only cost time
STORAGES = {
    **STORAGES,  # noqa: F405
    # The manifest wants `collectstatic`; the browser tests run it, the others need no files.
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":  # noqa: F405
    # A file, not memory: only then do threads meet as the shop's processes do.
    DATABASES["default"]["TEST"] = {"NAME": DATA_DIR / "test.sqlite3"}  # noqa: F405
