"""Opens a page and its pictures as a stranger would, in whatever place the environment names."""

import re
import sys

import django
from django.conf import settings
from django.test import Client
from django.test.utils import override_settings

PLAIN = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}


def main(path: str) -> None:
    """Print the status of each, a line each."""
    django.setup()
    settings.STATIC_ROOT.mkdir(exist_ok=True)
    # Nobody has collected the static files here, which are no part of a back-up.
    with override_settings(STORAGES={**settings.STORAGES, "staticfiles": PLAIN}):
        page = Client(headers={"host": "127.0.0.1"}).get(path)
        sys.stdout.write(f"page {page.status_code}\n")
        for address in re.findall(r'<img[^>]* src="(/[^"]+)"', page.content.decode()):
            answer = Client(headers={"host": "127.0.0.1"}).get(address)
            sys.stdout.write(f"{answer.headers['Content-Type']} {answer.status_code}\n")


if __name__ == "__main__":
    main(sys.argv[1])
