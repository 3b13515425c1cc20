"""Fills the shop of the environment with people signed in and builds to work on; says whom."""

import json
import sys

import django

django.setup()

from django.conf import settings  # noqa: E402 – Django is to be set up first
from django.test import Client  # noqa: E402

from shop.clock import now  # noqa: E402
from shop.diary.models import Weekday  # noqa: E402
from shop.house.models import House  # noqa: E402
from shop.people.models import Role, User  # noqa: E402
from tests.makers import answer, make_build, make_customer  # noqa: E402


def filled(people: int, builds: int) -> dict[str, object]:
    """Who works here, by the key of their session, and what they can work on."""
    House.objects.create(
        name="Larkhill Works", email="bench@larkhill.example", zone_name="Europe/London",
        country="GB", currency="GBP", set_up_at=now(), bench_url="http://127.0.0.1", public_url="https://larkhill.example",
    )  # fmt: skip
    for weekday in range(7):
        Weekday.objects.create(weekday=weekday, opens="00:00", closes="23:59", dispatches=True)
    staff = [
        User.objects.create(
            email=f"hand-{n}@larkhill.example", name=f"Hand {n}", role=Role.OWNER, is_active=True
        )
        for n in range(people)
    ]
    staff[0].set_password("a long enough phrase")
    staff[0].save()
    customer = make_customer(now(), "Maud")
    made = []
    for _each in range(builds):
        build = make_build(staff[0], now(), kind="blade", customer=customer)
        answer(build, "agreed", staff[0], now())
        made.append((build.number, build.item.order.number))
    return {"sessions": [_session(user) for user in staff], "builds": made}


def _session(user: User) -> str:
    client = Client()
    client.force_login(user)
    return client.cookies[settings.SESSION_COOKIE_NAME].value


sys.stdout.write("\n" + json.dumps(filled(int(sys.argv[1]), int(sys.argv[2]))))
