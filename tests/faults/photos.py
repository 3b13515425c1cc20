"""Keeps photos in the shop whose data folder the environment names, and wakes nobody."""

import sys
from datetime import timedelta

import django

django.setup()

from shop.clock import now  # noqa: E402 – Django is to be set up first
from shop.files import actions  # noqa: E402
from tests.files.pictures import encoded, picture, upload  # noqa: E402

# Kept a while ago by a web process whose wake-ups were lost with the broker.
for number in range(int(sys.argv[1])):
    content = encoded(picture(int(sys.argv[2]) + number, 3000), quality=90)
    actions.keep(upload(content), now() - timedelta(minutes=5))
