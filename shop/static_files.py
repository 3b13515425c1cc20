"""Collects the static files into the data folder, only when they changed."""

from hashlib import sha256

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import call_command


def collect() -> None:
    """Run collectstatic unless the stamp says that nothing changed since."""
    stamp = settings.STATIC_ROOT / "stamp"
    now = fingerprint()
    if stamp.exists() and stamp.read_text(encoding="ascii") == now:
        return
    call_command("collectstatic", interactive=False, verbosity=0)
    stamp.write_text(now, encoding="ascii")


def fingerprint() -> str:
    """A hash of the name, size and age of every file that would be collected."""
    digest = sha256(str(settings.STORAGES["staticfiles"]).encode())
    for finder in get_finders():
        for path, storage in sorted(finder.list([]), key=lambda found: found[0]):
            age = storage.get_modified_time(path).timestamp()
            digest.update(f"{path}\0{storage.size(path)}\0{age}\n".encode())
    return digest.hexdigest()
