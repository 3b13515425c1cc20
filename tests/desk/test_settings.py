"""The settings pages: each form saves by itself, says what is wrong, and leaves a history."""

from datetime import date, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from builds.desk.actions.first_setup import make_default_views
from builds.intake.models import View
from builds.progress.models import Place, Tray
from builds.progress.places import make_default_places
from shop import clock
from shop.diary.models import Closure, Weekday
from shop.history.models import Entry
from shop.house.models import House
from shop.people.models import User
from tests.clocks import later

PAGES = ["settings", "hours", "closures", "views", "places", "people", "addresses", "mail"]
SHOP = {"name": "Larkhill Works", "email": "", "phone": "01632 960001", "address": "", "note": ""}


def today() -> date:
    return clock.now().date()


def post(client: Client, where: str, *args: Any, **typed: Any):  # type: ignore[no-untyped-def]
    return client.post(reverse(f"desk_{where}", args=args), typed)


@pytest.mark.parametrize("name", PAGES)
def test_every_page_of_the_settings_opens(owner_client: Client, name: str) -> None:
    answer = owner_client.get(reverse(f"desk_{name}"))
    assert answer.status_code == 200
    assert f'href="{reverse(f"desk_{name}")}" aria-current="page"' in answer.text


def test_shop_is_changed_and_the_history_names_the_fields(
    owner: User, owner_client: Client
) -> None:
    assert post(owner_client, "settings", **SHOP).status_code == 303
    assert House.objects.get().phone == "01632 960001"
    entry = Entry.objects.get(verb="house_changed")
    assert (entry.actor, entry.parameters) == (owner, {"fields": ["email", "phone"]})


def test_saving_one_form_leaves_what_another_tablet_changed(owner_client: Client) -> None:
    House.objects.update(bench_url="http://192.0.2.99")
    post(owner_client, "settings", **SHOP)
    assert House.objects.get().bench_url == "http://192.0.2.99"


def test_refused_form_keeps_what_was_typed(owner_client: Client) -> None:
    answer = post(owner_client, "settings", **(SHOP | {"email": "no address"}))
    assert answer.status_code == 422
    assert "no address" in answer.text
    assert House.objects.get().email == "bench@larkhill.example"


def test_htmx_gets_the_form_alone(owner_client: Client) -> None:
    headers = {"hx-request": "true", "hx-target": "shop"}
    answer = owner_client.get(reverse("desk_settings"), headers=headers)
    assert answer.text.lstrip().startswith('<h2 id="shop-head">')


MEASURES = {
    "length_unit": "mm", "least_idle_days": "30", "most_try_minutes": "60", "least_depth_mm": "19",
    "largest_film_mb": "2048",
}  # fmt: skip


def test_limits_of_tries_and_depth_are_the_shops_choice(owner_client: Client) -> None:
    typed = MEASURES | {"most_try_minutes": "40", "least_depth_mm": "25.4"}
    assert post(owner_client, "bench_figures", **typed).status_code == 303
    house = House.objects.get()
    assert (house.most_try_minutes, house.least_depth_mm) == (40, 25.4)


def test_lengths_and_days_at_rest_are_the_shops_choice(owner_client: Client) -> None:
    typed = MEASURES | {"length_unit": "in", "least_idle_days": "45"}
    assert post(owner_client, "bench_figures", **typed).status_code == 303
    house = House.objects.get()
    assert (house.length_unit, house.least_idle_days) == ("in", 45)
    fields = ["least_idle_days", "length_unit"]
    assert sorted(Entry.objects.get(verb="house_changed").parameters["fields"]) == fields


@pytest.mark.parametrize(
    "typed",
    [
        {"least_idle_days": "0"}, {"length_unit": "ell"}, {"most_try_minutes": "0"},
        {"most_try_minutes": "1e99"}, {"least_depth_mm": "0"}, {"least_depth_mm": "∞"},
        {"least_depth_mm": "nan"}, {"least_depth_mm": "-3"},
    ],
)  # fmt: skip
def test_odd_measures_are_refused(owner_client: Client, typed: dict[str, str]) -> None:
    assert post(owner_client, "bench_figures", **(MEASURES | typed)).status_code == 422


def test_region_of_another_country_is_dropped(owner_client: Client) -> None:
    typed = {"country": "NZ", "region": "SCT", "zone_name": "Pacific/Auckland", "currency": "NZD"}
    post(owner_client, "where", **typed)
    house = House.objects.get()
    assert (house.country, house.region) == ("NZ", "")


def test_looking_at_another_country_saves_nothing(owner_client: Client) -> None:
    typed = {"country": "NZ", "zone_name": "Europe/London", "currency": "GBP", "suggest": "x"}
    assert '"AUK"' in post(owner_client, "where", **typed).text
    assert House.objects.get().country == "GB"


def test_bench_address_is_needed_and_loses_its_slash(proven_client: Client) -> None:
    assert post(proven_client, "addresses", bench_url="", public_url="").status_code == 422
    post(proven_client, "addresses", bench_url="http://192.0.2.7:8000/", public_url="")
    assert House.objects.get().bench_url == "http://192.0.2.7:8000"


def test_week_is_changed(owner_client: Client) -> None:
    typed = {"cut_off": "12:30", "opens_1": "10:00", "closes_1": "16:00", "dispatches_1": "on"}
    assert post(owner_client, "hours", **typed).status_code == 303
    assert str(House.objects.get().cut_off) == "12:30:00"
    days = {d.weekday: (d.opens is not None, d.dispatches) for d in Weekday.objects.all()}
    assert days == {n: (n == 1, n == 1) for n in range(7)}


def test_closure_of_one_day_needs_no_last_day(owner_client: Client) -> None:
    day = today() + timedelta(days=3)
    assert post(owner_client, "closures", first=day, last="", reason="fair").status_code == 303
    closure = Closure.objects.get()
    assert (closure.first, closure.last, closure.reason) == (day, day, "fair")


@pytest.mark.parametrize(
    ("first", "last", "why"),
    [(5, 3, "comes before the first"), (-9, -8, "are over"), (-9, None, "are over")],
)
def test_impossible_closure_is_refused_in_words(
    owner_client: Client, first: int, last: int | None, why: str
) -> None:
    typed = {
        "first": today() + timedelta(days=first),
        "last": "" if last is None else today() + timedelta(days=last),
    }
    answer = post(owner_client, "closures", **typed)
    assert answer.status_code == 422
    assert why in answer.text


def closure(first: int, last: int) -> Closure:
    ends = [today() + timedelta(days=n) for n in (first, last)]
    return Closure.objects.create(first=ends[0], last=ends[1])


def test_coming_closure_is_taken_away(owner_client: Client) -> None:
    post(owner_client, "closure_remove", closure(3, 5).pk)
    assert not Closure.objects.exists()


def test_closure_under_way_ends_yesterday(owner_client: Client) -> None:
    post(owner_client, "closure_remove", closure(-2, 5).pk)
    assert Closure.objects.get().last == today() - timedelta(days=1)


def test_past_closure_is_kept_and_told(owner_client: Client) -> None:
    answer = owner_client.post(
        reverse("desk_closure_remove", args=[closure(-9, -5).pk]), follow=True
    )
    assert "is over" in answer.text
    assert Closure.objects.exists()


def test_view_is_added_last_in_its_stage(owner_client: Client) -> None:
    make_default_views()
    post(owner_client, "views", label="pommel, close", stage="intake", required="on")
    assert list(View.objects.filter(stage="intake"))[-1].code == "pommel_close"


def test_view_of_the_same_words_gets_a_code_of_its_own(owner_client: Client) -> None:
    for _ in range(3):
        post(owner_client, "views", label="side", stage="intake")
    assert set(View.objects.values_list("code", flat=True)) == {"side", "side_2", "side_3"}


def test_view_is_changed(owner_client: Client) -> None:
    view = View.objects.create(code="side", label="side", stage="intake")
    post(owner_client, "view", view.pk, label="left side", stage="test")
    view.refresh_from_db()
    assert (view.code, view.label, view.stage, view.required) == (
        "side",
        "left side",
        "test",
        False,
    )


def test_view_changes_places_with_its_neighbour(owner_client: Client) -> None:
    make_default_views()
    before = list(View.objects.filter(stage="intake"))
    post(owner_client, "view_move", before[1].pk, earlier="1")
    after = list(View.objects.filter(stage="intake"))
    assert after == [before[1], before[0], *before[2:]]


def test_first_view_moves_no_further_up(owner_client: Client) -> None:
    make_default_views()
    before = list(View.objects.all())
    post(owner_client, "view_move", before[0].pk, earlier="1")
    assert list(View.objects.all()) == before


def test_view_is_retired_and_comes_back(owner_client: Client) -> None:
    view = View.objects.create(code="side", label="side", stage="intake")
    post(owner_client, "view_retire", view.pk)
    assert View.objects.get().retired
    post(owner_client, "view_retire", view.pk, back="1")
    assert not View.objects.get().retired


def test_trays_are_numbered_on(owner_client: Client) -> None:
    make_default_places()
    post(owner_client, "trays_add", how_many=2)
    assert list(Tray.objects.values_list("number", flat=True))[-2:] == [21, 22]


def test_free_tray_is_put_away(owner_client: Client) -> None:
    tray = Tray.objects.create(number=4)
    post(owner_client, "tray_retire", tray.pk)
    assert Tray.objects.get().retired


def test_place_of_the_same_name_is_refused(owner_client: Client) -> None:
    Place.objects.create(name="Shelf A")
    answer = post(owner_client, "place_add", name="Shelf A")
    assert answer.status_code == 422
    assert "already exists" in answer.text


def test_place_is_renamed_and_retired(owner_client: Client) -> None:
    place = Place.objects.create(name="Shelf A")
    post(owner_client, "place", place.pk, name="Long shelf")
    post(owner_client, "place_retire", place.pk)
    place.refresh_from_db()
    assert (place.name, place.retired) == ("Long shelf", True)


def test_closure_of_a_year_mistyped_is_refused_in_words(owner_client: Client) -> None:
    typed = {"first": "2026-12-24", "last": "2062-01-01", "reason": ""}
    answer = owner_client.post("/settings/closures/", typed)
    assert answer.status_code == 422
    assert "more than three years away" in answer.content.decode()


def test_other_address_wants_the_password_given_lately(
    proven_client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    later(monkeypatch, minutes=16)
    page, before = reverse("desk_addresses"), House.objects.get().bench_url
    assert f"/confirm/?next={page}" in proven_client.get(page).text
    answer = post(proven_client, "addresses", bench_url="http://192.0.2.66/", public_url="")
    assert answer.url.startswith("/confirm/?next=")
    assert House.objects.get().bench_url == before
