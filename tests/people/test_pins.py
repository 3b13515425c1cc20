"""A shared tablet changes person by a PIN: where it may, how often, and what stays shut."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.test import Client

from shop.history.models import Entry
from shop.models import User
from shop.people import actions
from shop.people.models import Role

PHRASE = "a long enough phrase"
PIN = "4071"


@pytest.fixture
def with_pins(owner: User, bench_hand: User, now: datetime) -> None:
    for user in (owner, bench_hand):
        actions.set_pin(user, PIN, by=user, now=now)


@pytest.fixture
def tablet(bench_hand: User, with_pins: None) -> Client:
    """A tablet on which the bench hand has signed in with the password."""
    client = Client()
    fields = {"email": bench_hand.email, "password": PHRASE, "remember": "on"}
    client.post("/sign-in/", fields)
    return client


def take_over(
    client: Client, user: User, pin: str = PIN, to: str = "/bench/", **headers: str
) -> int:
    """Choose a name, type a PIN; the status of the answer."""
    fields = {"person": user.pk, "pin": pin, "next": to}
    return client.post("/who/", fields, headers=headers).status_code


def present(client: Client) -> int:
    """Who is signed in."""
    return int(client.session["_auth_user_id"])


def test_name_and_pin_change_the_person_and_stay_on_the_page(tablet: Client, owner: User) -> None:
    fields = {"person": owner.pk, "pin": PIN, "next": "/bench/?x=1"}
    answer = tablet.post("/who/", fields)
    assert (answer.status_code, answer["Location"]) == (303, "/bench/?x=1")
    assert present(tablet) == owner.pk


def test_session_gets_a_new_key_and_keeps_nothing(tablet: Client, owner: User) -> None:
    session = tablet.session
    session["theirs"], before = "private", session.session_key
    session.save()
    take_over(tablet, owner)
    assert tablet.session.session_key != before
    assert "theirs" not in tablet.session


def test_tries_with_the_key_of_a_deed_are_counted(tablet: Client, owner: User) -> None:
    for _ in range(5):
        assert take_over(tablet, owner, "4072", **{"X-Deed": str(uuid4())}) == 422
    assert take_over(tablet, owner) == 422  # too many, though it is the right one


def test_wrong_pin_changes_nobody(tablet: Client, owner: User, bench_hand: User) -> None:
    assert take_over(tablet, owner, "4072") == 422
    assert present(tablet) == bench_hand.pk


def test_pin_is_not_kept_as_typed(with_pins: None, owner: User) -> None:
    assert PIN not in User.objects.get(pk=owner.pk).pin


def test_device_without_a_password_sign_in_takes_no_pin(
    bench_client: Client, with_pins: None, owner: User
) -> None:
    assert "Not on this device yet" in bench_client.get("/who/").content.decode()
    take_over(bench_client, owner)
    assert present(bench_client) != owner.pk


def test_forged_device_is_no_device(bench_client: Client, with_pins: None, owner: User) -> None:
    bench_client.cookies["hiltyard_device"] = "made-up:signature"
    take_over(bench_client, owner)
    assert present(bench_client) != owner.pk


def test_nobody_takes_over_where_nobody_is_signed_in(tablet: Client, owner: User) -> None:
    tablet.post("/sign-out/")
    take_over(tablet, owner)
    assert "_auth_user_id" not in tablet.session


def test_sixth_try_is_refused_even_when_right(tablet: Client, owner: User) -> None:
    for wrong in range(5):
        take_over(tablet, owner, f"900{wrong}")
    assert take_over(tablet, owner) == 422
    assert present(tablet) != owner.pk


def test_tries_on_many_devices_are_counted_together(
    with_pins: None, owner: User, bench_hand: User, now: datetime
) -> None:
    def attempt(number: int, pin: str) -> None:
        actions.check_pin(owner.pk, pin, device=f"device {number}", by=bench_hand, now=now)

    for number in range(20):
        with pytest.raises(actions.Refused, match="not the PIN"):
            attempt(number, "9000")
    with pytest.raises(actions.Refused, match="Too many"):
        attempt(99, PIN)


def test_tries_are_forgotten_after_their_span(
    with_pins: None, owner: User, bench_hand: User, now: datetime
) -> None:
    for _try in range(5):
        with pytest.raises(actions.Refused):
            actions.check_pin(owner.pk, "9000", device="one", by=bench_hand, now=now)
    later = now + timedelta(minutes=15)
    assert actions.check_pin(owner.pk, PIN, device="one", by=bench_hand, now=later) == owner


@pytest.mark.parametrize("change", [{"is_active": False}, {"pin": ""}])
def test_who_left_or_has_no_pin_is_not_offered(
    tablet: Client, owner: User, change: dict[str, object]
) -> None:
    User.objects.filter(pk=owner.pk).update(**change)
    assert "Oda" not in tablet.get("/who/").content.decode()
    take_over(tablet, owner)
    assert present(tablet) != owner.pk


def test_two_in_a_shop_need_one_tap_and_a_pin(tablet: Client, owner: User) -> None:
    page = tablet.get("/who/").content.decode()
    assert f'value="{owner.pk}"' in page
    assert "checked" in page
    assert "autofocus" in page


def test_frame_leads_to_it_and_back(tablet: Client) -> None:
    assert "/who/?next=/bench/" in tablet.get("/bench/").content.decode()


def test_other_site_is_no_page_to_come_back_to(tablet: Client, owner: User) -> None:
    answer = tablet.post("/who/", {"person": owner.pk, "pin": PIN, "next": "//elsewhere.example"})
    assert "elsewhere" not in answer["Location"]


def test_owner_by_pin_is_asked_for_the_password_once(tablet: Client, owner: User) -> None:
    take_over(tablet, owner)
    asked = tablet.get("/settings/people/")
    assert (asked.status_code, asked["Location"]) == (303, "/confirm/?next=%2Fsettings%2Fpeople%2F")
    assert tablet.post("/confirm/", {"password": "wrong"}).status_code == 422
    assert tablet.get("/settings/people/").status_code == 303
    answer = tablet.post("/confirm/", {"password": PHRASE, "next": "/settings/people/"})
    assert answer["Location"] == "/settings/people/"
    assert tablet.get("/settings/people/").status_code == 200
    assert tablet.get("/settings/mail/").status_code == 200


def test_deed_of_the_owner_is_not_done_by_pin_alone(tablet: Client, owner: User) -> None:
    take_over(tablet, owner)
    fields = {"name": "Nan", "email": "nan@larkhill.example", "role": Role.OWNER}
    tablet.post("/settings/people/", fields)
    assert not User.objects.filter(name="Nan").exists()


def test_part_of_a_page_is_led_to_the_password_too(tablet: Client, owner: User) -> None:
    take_over(tablet, owner)
    answer = tablet.get("/settings/people/", headers={"HX-Request": "true"})
    assert answer["HX-Redirect"].startswith("/confirm/")


def test_password_sign_in_is_not_asked_again(owner_client: Client) -> None:
    assert owner_client.get("/settings/people/").status_code == 200


def test_bench_hand_by_pin_still_sees_no_settings(
    tablet: Client, owner: User, bench_hand: User
) -> None:
    take_over(tablet, owner)
    take_over(tablet, bench_hand)
    assert tablet.get("/settings/people/").status_code == 403


def test_own_pin_wants_the_password(bench_client: Client, bench_hand: User) -> None:
    assert bench_client.post("/my-pin/", {"pin": PIN, "present": "no"}).status_code == 422
    assert not User.objects.get(pk=bench_hand.pk).pin
    assert bench_client.post("/my-pin/", {"pin": PIN, "present": PHRASE}).status_code == 303
    assert User.objects.get(pk=bench_hand.pk).pin


def test_pin_can_be_taken_away(bench_client: Client, with_pins: None, bench_hand: User) -> None:
    bench_client.post("/my-pin/", {"pin": "", "present": PHRASE, "drop": "1"})
    assert not User.objects.get(pk=bench_hand.pk).pin


@pytest.mark.parametrize("pin", ["", "123", "123456789", "12a4", "1111", "1234", "8765", "٤٠٧١"])
def test_poor_pin_is_refused(bench_client: Client, bench_hand: User, pin: str) -> None:
    assert bench_client.post("/my-pin/", {"pin": pin, "present": PHRASE}).status_code == 422
    assert not User.objects.get(pk=bench_hand.pk).pin


def test_taking_over_is_in_history(tablet: Client, owner: User, bench_hand: User) -> None:
    take_over(tablet, owner)
    entry = Entry.objects.get(verb="person_changed")
    assert (entry.about, entry.actor) == (owner.about, bench_hand)
