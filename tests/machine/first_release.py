"""A shop as the first release had it, and a look at it today; run where a shop's settings count.

`fill N` makes the tables of then and fills each of them, with N builds; `look` opens the pages of
today. Nothing here uses the models or actions of today to write: they were not there.
"""

import sys
from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from uuid import uuid4

import django

django.setup()

from django.conf import settings  # noqa: E402 – Django is to be set up first
from django.db import connection, transaction  # noqa: E402
from django.db.migrations.executor import MigrationExecutor  # noqa: E402
from django.test import Client, override_settings  # noqa: E402
from django.urls import reverse  # noqa: E402

FIRST = [("shop", "0002_append_only"), ("builds", "0002_append_only")]
OTHERS = [("auth", None), ("contenttypes", None), ("sessions", None)]
NOW = datetime(2026, 3, 2, 9, 30, tzinfo=UTC)
LINK = "abcdefghijklmnop"
Table = Callable[[str], Any]


def tables_of_then() -> Table:
    """Make the tables; what gives the model of a table by its name."""
    executor = MigrationExecutor(connection)
    executor.loader.replace_migrations = False
    executor.loader.build_graph()
    leaves = executor.loader.graph.leaf_nodes
    state = executor.migrate([*FIRST, *(leaves(app)[0] for app, _ in OTHERS)])
    for app in ("shop", "builds"):  # `migrate` says to which state it came; models are in it
        state.apps.get_app_config(app)
    return lambda name: state.apps.get_model(name)


@transaction.atomic
def fill(table: Table, builds: int) -> None:
    """Something in every table of then."""
    oda = _people(table)
    blob = table("shop.Blob").objects.create(
        sha256="ab" * 32, size=10, media_type="image/jpeg", width=4, height=3, kept_at=NOW,
        rendered_at=NOW,
    )  # fmt: skip
    table("shop.Rendition").objects.create(blob=blob, longest_side=320, width=4, height=3, size=9)
    place = table("builds.Place").objects.create(name="Shelf 2")
    view = table("builds.View").objects.create(
        code="first", label="as it came", stage="intake", position=1, required=True
    )
    for number in range(1, builds + 1):
        _build(table, number, {"oda": oda, "blob": blob, "place": place, "view": view})
    for series, last in (("build", builds), ("order:2026", builds)):
        table("shop.Counter").objects.update_or_create(series=series, defaults={"last": last})
    table("shop.Throttle").objects.create(key="0" * 64, since=NOW, count=2)
    table("shop.Wording").objects.create(occasion="arrived", subject="Here", body="It is here.")
    table("shop.Closure").objects.create(
        first=date(2026, 12, 24), last=date(2027, 1, 2), reason="Winter"
    )


def _people(table: Table) -> Any:
    table("shop.House").objects.create(
        id=1, name="Larkhill Works", email="bench@larkhill.example", zone_name="Europe/London",
        country="GB", currency="GBP", cut_off=time(15), closed_on_holidays=True,
        bench_url="http://127.0.0.1", public_url="https://larkhill.example", set_up_at=NOW,
    )  # fmt: skip
    for weekday in range(7):
        opens, closes = (time(9), time(17)) if weekday < 5 else (None, None)
        table("shop.Weekday").objects.create(
            weekday=weekday, opens=opens, closes=closes, dispatches=weekday == 4
        )
    oda = table("shop.User").objects.create(
        email="oda@larkhill.example", name="Oda", role="owner", is_active=True, password="!"
    )
    table("shop.User").objects.create(
        email="jory@larkhill.example", name="Jory", role="bench", is_active=True, password="!"
    )
    return oda


def _build(table: Table, number: int, there: dict[str, Any]) -> None:
    """One order with its job, booked, in teardown or sent, and what belongs to it."""
    oda, state = there["oda"], ("teardown", "sent", "booked")[number % 3]
    item = _order(table, number, oda)
    hilt = table("builds.Hilt").objects.create(
        name=f"Low Tide {number}", name_folded=f"low tide {number}", since=NOW,
        customer=item.order.customer,
    )  # fmt: skip
    tray = None
    if state == "teardown":
        tray = table("builds.Tray").objects.create(number=number)
    build = table("builds.Build").objects.create(
        number=number, kind="full", leaves_by="post", state=state, state_since=NOW, item=item,
        hilt=hilt, tray=tray, place=there["place"] if tray else None,
        started_at=NOW if tray else None, started_by=oda if tray else None, note="as agreed",
    )  # fmt: skip
    _came(table, build, there)
    _moved(table, build, oda)


def _order(table: Table, number: int, oda: Any) -> Any:
    customer = table("shop.Customer").objects.create(
        called=f"Maud {number}", full_name=f"Maud Fenwick {number}", since=NOW,
        email=f"maud-{number}@mail.example", called_folded=f"maud {number}", country="GB",
        name_folded=f"maud fenwick {number}", family_folded=str(number), phone="01632 960001",
        email_folded=f"maud-{number}@mail.example", address="1 Example Row",
    )  # fmt: skip
    order = table("shop.Order").objects.create(
        number=f"2026-{number:03}", placed_at=NOW, needed_by=date(2026, 12, 1), token=uuid4(),
        customer=customer, price_note="about 300",
    )  # fmt: skip
    item = table("shop.Item").objects.create(
        order=order, kind="job", wanted="sound and light", quantity=1
    )
    table("shop.Answer").objects.create(
        item=item, kind="agreed", is_yes=True, text="Yes, as written.", how="mail",
        by_customer=False, at=NOW, recorded_by=oda,
    )  # fmt: skip
    link = table("shop.PrivateLink").objects.create(
        id=LINK if number == 1 else f"{number:016}".translate(str.maketrans("0189", "abcd")),
        scope="order", about=f"order:{order.pk}", made_at=NOW,
    )  # fmt: skip
    message = table("shop.Message").objects.create(
        key=f"first:{number}", about=f"order:{order.pk}", occasion="free", customer=customer,
        to=customer.email, subject=f"Of your order {number}", body="Look: $link", link=link,
        state="sent", message_id=f"<{number}@larkhill.example>", made_at=NOW, made_by=oda,
        not_before=NOW, done_at=NOW, tries=1,
    )  # fmt: skip
    table("shop.Attachment").objects.create(message=message, blob_id=1)
    return item


def _came(table: Table, build: Any, there: dict[str, Any]) -> None:
    oda = there["oda"]
    arrival = table("builds.Arrival").objects.create(
        token=uuid4(), came_at=NOW, sender="Maud", carrier="post", box="sound", received_by=oda,
        nothing_else=False,
    )  # fmt: skip
    table("builds.Match").objects.create(arrival=arrival, build=build, at=NOW, by=oda)
    photo = table("builds.Photo").objects.create(
        build=build, came_by=arrival, blob=there["blob"], view=there["view"], stage="intake",
        shared=True, taken_at=NOW, taken_by=oda, caption="as it came",
    )  # fmt: skip
    table("builds.ConditionNote").objects.create(
        build=build, section="grip", grade="worn", words="a dent", at=NOW, by=oda,
        came_by=arrival, photo=photo,
    )  # fmt: skip
    table("builds.Belonging").objects.create(
        arrival=arrival, build=build, what="blade plug", quantity=1
    )
    table("builds.CellCheck").objects.create(
        arrival=arrival, build=build, result="good", millivolts=3700, at=NOW, by=oda
    )


def _moved(table: Table, build: Any, oda: Any) -> None:
    table("builds.Move").objects.create(
        token=uuid4(), build=build, from_state="booked", to_state="intake", at=NOW, by=oda,
        was_since=NOW,
    )  # fmt: skip
    table("builds.Promise").objects.create(
        build=build, day=date(2026, 11, 27), at=NOW, by=oda, reason="as told"
    )
    table("builds.Pass").objects.create(
        build=build, stage="intake", code="views", reason="seen in the hand", at=NOW, by=oda
    )
    table("builds.Hold").objects.create(
        build=build, reason="answer", turn="customer", words="Which colour?", put_by=oda,
        chase_on=date(2026, 3, 9), since=NOW, ended_at=NOW + timedelta(days=1), ended_by=oda,
    )  # fmt: skip
    parcel = table("builds.Parcel").objects.create(
        token=uuid4(), day=date(2026, 11, 27), closed_at=NOW, closed_by=oda, carrier="post",
        left_at=NOW if build.state == "sent" else None,
        left_by=oda if build.state == "sent" else None,
    )  # fmt: skip
    taken_out = None if build.state == "sent" else NOW
    table("builds.Packed").objects.create(build=build, parcel=parcel, taken_out_at=taken_out)
    table("shop.Entry").objects.create(
        at=NOW, verb="order_placed", about=f"build:{build.pk}", parameters={}, actor=oda
    )


def empty_tables(table: Table) -> list[str]:
    """Tables of then that nothing was put into."""
    models = table("shop.House")._meta.apps.get_models()
    ours = [model for model in models if model._meta.app_label in {"shop", "builds"}]
    return sorted(model._meta.label for model in ours if not model.objects.exists())


@override_settings(ALLOWED_HOSTS=["testserver"], SECURE_SSL_REDIRECT=False)
def look() -> None:
    """Open the pages of today, and say what each answered."""
    # Of today, and therefore loaded only for the look.
    from shop.models import User  # noqa: PLC0415
    from shop.post import links  # noqa: PLC0415
    from tests.test_access import CLOSED, PAGES  # noqa: PLC0415

    owner = Client()
    owner.force_login(User.objects.get(email="oda@larkhill.example"))
    plain = [reverse(name) for name in CLOSED if not PAGES[name].pattern.converters]
    named = [reverse("bench_sheet", args=[number]) for number in (1, 2, 3)]
    named += [reverse("desk_order", args=["2026-001"]), reverse("hilts_hilt", args=[1])]
    named += [reverse("desk_customer", args=[1])]
    for address in [*plain, *named]:
        _say(address, owner.get(address))
    token = links.token(LINK, 1, settings.LINK_KEY)
    _say("/your/order/", Client().get(reverse("visitor_order", args=[token])))


def _say(address: str, answer: Any) -> None:
    sys.stdout.write(f"{answer.status_code} {address}\n")


if __name__ == "__main__":
    if sys.argv[1] == "fill":
        made = tables_of_then()
        fill(made, int(sys.argv[2]))
        sys.stdout.write(f"empty: {empty_tables(made)}\n")
    else:
        look()
