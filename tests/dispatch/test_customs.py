"""What the customs are told: typed once for the shop, kept with each parcel, printed."""

from datetime import datetime
from io import BytesIO
from typing import Any

import pytest
from django.test import Client
from pypdf import PdfReader

from builds.dispatch.actions import Refused, mark_left
from builds.dispatch.actions.customs import ToCustoms, tell_customs
from builds.dispatch.models import Parcel
from builds.gates.actions import let_by
from builds.gates.conditions import Condition, conditions
from builds.models import Build
from builds.progress.states import State
from shop.models import House, User
from tests.bench.pages import hidden, words
from tests.makers import make_agreed, make_build, make_parcel, make_part

pytestmark = pytest.mark.django_db
TOLD = {"words": "Prop hilt, brass, with light", "origin": "GB", "tariff_code": "9503.00"}


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    """One that goes to Canada."""
    build = make_build(owner, now, State.DISPATCH)
    order = build.item.order
    order.ship_country = "CA"
    order.ship_name, order.ship_address = "Rosalind Tarr", "5 Quay\nHalvard"
    order.save()
    make_agreed(order, owner, now, 45_000, lines=[{"item": build.item, "each_minor": 45_000}])
    return build


@pytest.fixture
def parcel(build: Build, owner: User, now: datetime, house: House) -> Parcel:
    return make_parcel([build], owner, now)


def asked(build: Build) -> Condition | None:
    found = conditions([build.pk])[build.pk]
    return next((one for one in found if one.code == "customs"), None)


def save(client: Client, parcel: Parcel, **more: Any) -> Any:
    page = client.get(f"/parcel/{parcel.pk}/").content.decode()
    fields = {**TOLD, "seen": hidden(page, "seen"), **more}
    return client.post(f"/parcel/{parcel.pk}/customs/", fields, follow=True)


def paper(client: Client, parcel: Parcel) -> str:
    reply = client.get(f"/parcel/{parcel.pk}/customs/paper/")
    assert reply.status_code == 200
    pages = PdfReader(BytesIO(reply.content)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_a_parcel_at_home_knows_no_customs(
    owner_client: Client, house: House, owner: User, now: datetime
) -> None:
    home = make_build(owner, now, State.DISPATCH)
    parcel = make_parcel([home], owner, now)
    assert asked(home) is None
    assert "For the customs" not in words(owner_client.get(f"/parcel/{parcel.pk}/"))


def test_it_is_not_asked_before_it_lies_in_a_parcel(build: Build, house: House) -> None:
    assert asked(build) is None


def test_what_is_missing_keeps_it_here(build: Build, parcel: Parcel, owner_client: Client) -> None:
    condition = asked(build)
    assert condition
    assert condition.text.endswith("description, value, country of origin, tariff code")
    save(owner_client, parcel, value="450")
    condition = asked(build)
    assert condition
    assert condition.is_open


def test_bench_cannot_pass_it_and_the_owner_can(
    build: Build, parcel: Parcel, owner: User, bench_hand: User, now: datetime
) -> None:
    with pytest.raises(ValueError, match="Only the owner"):
        let_by(build.pk, "customs", reason="carrier does it", by=bench_hand, now=now)
    let_by(build.pk, "customs", reason="carrier does it", by=owner, now=now)
    condition = asked(build)
    assert condition
    assert condition.is_open


def test_the_shops_words_stand_there_and_count_once_saved(
    build: Build, parcel: Parcel, owner_client: Client
) -> None:
    House.objects.update(customs_words="Prop hilt", origin="GB", tariff_code="950300")
    page = owner_client.get(f"/parcel/{parcel.pk}/").content.decode()
    assert 'value="Prop hilt"' in page
    assert 'value="950300"' in page
    assert 'value="450.00"' in page
    parcel.refresh_from_db()
    assert parcel.customs_words == ""


def test_bench_sees_no_value_and_changes_none(
    parcel: Parcel, owner_client: Client, bench_client: Client
) -> None:
    save(owner_client, parcel, value="450")
    reply = bench_client.get(f"/parcel/{parcel.pk}/")
    assert "The owner fills in the value." in words(reply)
    assert "450" not in reply.content.decode()
    save(bench_client, parcel, words="Prop hilt, steel", value="1")
    parcel.refresh_from_db()
    assert (parcel.customs_words, parcel.customs_minor) == ("Prop hilt, steel", 45_000)
    assert bench_client.get(f"/parcel/{parcel.pk}/customs/paper/").status_code == 403


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [("tariff_code", "9503", "six digits"), ("tariff_code", "95O300", "six digits"),
     ("value", "0", "above nothing")],
)  # fmt: skip
def test_bad_figures_are_said_and_kept(
    field: str, typed: str, said: str, parcel: Parcel, owner_client: Client
) -> None:
    reply = save(owner_client, parcel, **{field: typed})
    assert reply.status_code == 422
    assert said in words(reply)
    assert f'value="{typed}"' in reply.content.decode()


def test_other_tablet_was_first(
    parcel: Parcel, owner: User, bench_hand: User, now: datetime
) -> None:
    tell_customs(parcel.pk, ToCustoms("a hilt", "GB", "950300"), seen=0, by=bench_hand, now=now)
    with pytest.raises(Refused, match=f"{bench_hand.name} was first: a hilt · GB · 950300"):
        tell_customs(parcel.pk, ToCustoms("a blade", "", ""), seen=0, by=owner, now=now)


def test_one_who_was_second_may_save_again(
    parcel: Parcel, owner_client: Client, bench_hand: User, now: datetime
) -> None:
    page = owner_client.get(f"/parcel/{parcel.pk}/").content.decode()
    tell_customs(parcel.pk, ToCustoms("a hilt", "GB", "950300"), seen=0, by=bench_hand, now=now)
    reply = save(owner_client, parcel, seen=hidden(page, "seen"))
    assert reply.status_code == 422
    assert 'value="Prop hilt, brass, with light"' in reply.content.decode()
    again = save(owner_client, parcel, seen=hidden(reply.content.decode(), "seen"))
    assert "Saved." in words(again)


def test_what_left_stays_as_it_was_told(parcel: Parcel, owner: User, now: datetime) -> None:
    mark_left(parcel.pk, owner, now)
    with pytest.raises(Refused, match="has left"):
        tell_customs(parcel.pk, ToCustoms("a hilt", "", ""), seen=0, by=owner, now=now)


def test_paper_says_it_all(
    parcel: Parcel, owner_client: Client, owner: User, now: datetime
) -> None:
    box = make_part(owner, now, kind="box", name="long box")
    Parcel.objects.update(box=box, gross_g=1640)
    save(owner_client, parcel, value="450")
    told = paper(owner_client, parcel)
    for part in ("Rosalind Tarr", "Halvard", "Canada", "Prop hilt, brass, with light", "£450.00",
                 "GBP", "United Kingdom", "9503.00", "1.640 kg", "1.380 kg"):  # fmt: skip
        assert part in told


def test_paper_leaves_lines_for_what_is_not_known(parcel: Parcel, owner_client: Client) -> None:
    assert "Net mass Gross mass Value" in paper(owner_client, parcel)


def test_settings_of_parcels(owner_client: Client, bench_client: Client, house: House) -> None:
    page = "/settings/parcels/"
    assert bench_client.get(page).status_code == 403
    fields = {"customs_words": "Prop hilt", "origin": "GB"}
    reply = owner_client.post(page, {**fields, "tariff_code": "12"})
    assert reply.status_code == 422
    assert "six digits" in words(reply)
    owner_client.post(page, {**fields, "tariff_code": "9503 00"})
    kept = House.objects.get()
    assert (kept.customs_words, kept.origin, kept.tariff_code) == ("Prop hilt", "GB", "950300")
