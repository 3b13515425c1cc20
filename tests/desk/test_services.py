"""Settings, how parcels travel: the usual services at a tap, one's own, order, padding."""

from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from builds.dispatch.actions import keep_rule
from builds.dispatch.actions.services import add_usual, change_service
from builds.dispatch.models import Service
from builds.dispatch.queries import usual_for
from builds.dispatch.states import Mode
from shop.history.queries import last_about
from shop.house.models import House
from shop.models import User

pytestmark = pytest.mark.django_db
TYPED = {
    "name": "Road, two days", "carrier": "Fenland Parcels", "mode": "adr-road", "sides": "cm-kg",
    "divisor": "5000", "weight_step": "0.5", "volume_above": "", "most_g": "30 kg",
    "covered_minor": "250", "transit_days": "2",
    "follow_url": "https://fenland-parcels.example/follow/$number",
}  # fmt: skip


def _typed(**more: Any) -> dict[str, Any]:
    return {**TYPED, "token": uuid4(), **more}


def test_a_service_is_written_down_once(owner_client: Client) -> None:
    typed = _typed()
    for _twice in range(2):
        assert owner_client.post(reverse("desk_services"), typed).status_code == 303
    one = Service.objects.get()
    assert (one.most_g, one.covered_minor, one.divisor, one.transit_days) == (
        30_000, 25_000, 5000, 2,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"name": ""}, "required"),
        ({"divisor": "0"}, "Type a number above 0"),
        ({"most_g": "a lot"}, "Type a number such as"),
        ({"covered_minor": "much"}, "Write a sum such as"),
        ({"follow_url": "fenland-parcels.example/$number"}, "Begin with https"),
        ({"follow_url": "https://fenland-parcels.example/"}, "Write $number once"),
        ({"mode": "boat"}, "boat"),
    ],
)
def test_what_is_wrong_is_said_beside_its_field(
    owner_client: Client, wrong: dict[str, str], said: str
) -> None:
    answer = owner_client.post(reverse("desk_services"), _typed(**wrong))
    assert answer.status_code == 422
    body = answer.content.decode()
    assert said in body
    assert "Fenland Parcels" in body
    assert not Service.objects.exists()


@pytest.mark.parametrize(
    ("country", "modes"),
    [
        ("GB", {Mode.ADR_ROAD, Mode.AIR}),
        ("AU", {Mode.AIR}),
        ("US", set(Mode) - {Mode.ADR_ROAD}),
    ],
)
def test_the_usual_ones_fit_the_country(country: str, modes: set[Mode]) -> None:
    assert {each.mode for each in usual_for(country)} == modes


def test_the_usual_ones_are_written_down_at_a_tap_and_once(owner_client: Client) -> None:
    assert "Write these down" in owner_client.get(reverse("desk_services")).content.decode()
    for _twice in range(2):
        owner_client.post(reverse("desk_services_usual"))
    assert Service.objects.count() == 2
    assert "Write these down" not in owner_client.get(reverse("desk_services")).content.decode()


def test_a_service_is_changed_and_the_other_tablet_told(
    owner_client: Client, owner: User, now: datetime
) -> None:
    one = add_usual(usual_for("GB"), by=owner, now=now)[0]
    page = reverse("desk_service", args=[one.pk])
    change_service(one.pk, {"name": "By road"}, seen=_last(one), by=owner, now=now)
    late = owner_client.post(page, {**TYPED, "seen": 0})
    assert late.status_code == 422
    assert "changed this service first" in late.content.decode()
    assert owner_client.post(page, {**TYPED, "seen": _last(one)}).status_code == 303
    one.refresh_from_db()
    assert (one.name, one.carrier) == ("Road, two days", "Fenland Parcels")


def test_a_carriers_rule_follows_its_service_to_no_other_way(
    owner_client: Client, owner: User, now: datetime
) -> None:
    one = add_usual(usual_for("GB"), by=owner, now=now)[0]
    keep_rule(
        one, code="loose-heavy", words="Up to 40 kg.", source="letter", written_on=now.date(),
        valid_until=None, token=uuid4(), by=owner, now=now,
    )  # fmt: skip
    typed = {**TYPED, "mode": "air", "seen": _last(one)}
    late = owner_client.post(reverse("desk_service", args=[one.pk]), typed)
    assert late.status_code == 422
    assert "speak of the way it travels now" in late.content.decode()
    one.refresh_from_db()
    assert one.mode == Mode.ADR_ROAD


def _last(service: Service) -> int:
    entry = last_about(service.about)
    return entry.pk if entry else 0


def test_one_moves_up_and_one_is_offered_no_more(
    owner_client: Client, owner: User, now: datetime
) -> None:
    first, second = add_usual(usual_for("GB"), by=owner, now=now)
    owner_client.post(reverse("desk_service_up", args=[second.pk]))
    assert list(Service.objects.all()) == [second, first]
    retire = reverse("desk_service_retire", args=[first.pk])
    owner_client.post(retire)
    first.refresh_from_db()
    assert first.retired
    owner_client.post(retire, {"back": "1"})
    first.refresh_from_db()
    assert not first.retired


@pytest.mark.parametrize(("typed", "status"), [("25", 303), ("0", 303), ("-1", 422), ("x", 422)])
def test_the_padding_is_the_owners(owner_client: Client, typed: str, status: int) -> None:
    answer = owner_client.post(reverse("desk_padding"), {"box_clearance_mm": typed})
    assert answer.status_code == status
    kept = House.objects.get().box_clearance_mm
    assert kept == (float(typed) if status == 303 else 30.0)
