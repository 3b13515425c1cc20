"""Queues numbered messages in the shop whose data folder the environment names."""

import sys

import django

django.setup()

from shop.clock import now  # noqa: E402 – Django is to be set up first
from shop.house.models import House  # noqa: E402
from shop.post import actions  # noqa: E402
from shop.post.models import Occasion  # noqa: E402

House.objects.create(name="Larkhill Works", email="bench@larkhill.example", set_up_at=now())
for number in range(int(sys.argv[1])):
    actions.queue_message(
        key=f"fault:{number}",
        occasion=Occasion.FREE,
        about=f"build:{number}",
        to=f"customer-{number}@customers.example",
        subject=f"Message {number}",
        body="Hello,\n\nall is well.\n",
        now=now(),
    )
