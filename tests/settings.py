"""The settings of the tests: the real ones, in a data folder that is thrown away."""

import atexit
import os
import shutil
import tempfile

if "HILTYARD_DATA" not in os.environ:
    os.environ["HILTYARD_DATA"] = tempfile.mkdtemp(prefix="hiltyard-test-")
    atexit.register(shutil.rmtree, os.environ["HILTYARD_DATA"], ignore_errors=True)
os.environ.setdefault("SECRET_KEY", "tests-only-" + "s" * 40)
os.environ.setdefault("LINK_KEY", "tests-only-" + "l" * 40)

from shop.settings import *  # noqa: F403

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]  # slow ones only cost time
ALLOWED_HOSTS = ["testserver", "127.0.0.1", "localhost"]
STORAGES = {
    **STORAGES,  # noqa: F405
    # The manifest wants `collectstatic`; the browser tests run it, the others need no files.
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
STATIC_ROOT.mkdir(parents=True, exist_ok=True)  # noqa: F405 – WhiteNoise warns where it is missing
if DATABASES["default"]["ENGINE"] == "shop.sqlite":  # noqa: F405
    # In a file, as in a shop: in memory there is no WAL, no waiting and no second connection.
    DATABASES["default"]["TEST"] = {"NAME": str(DATA_DIR / "tests.sqlite3")}  # noqa: F405
