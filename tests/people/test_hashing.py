"""Passwords and PINs are hashed by Argon2id; what an older shop has is hashed anew when used."""

from datetime import datetime

import pytest
from django.contrib.auth.hashers import identify_hasher, make_password
from django.test import Client
from django.urls import reverse
from pytest_django import Settings

from shop.people import actions
from shop.people.models import User
from shop.settings import PASSWORD_HASHERS

PHRASE, PIN = "a long enough phrase", "4071"


@pytest.fixture(autouse=True)
def as_in_a_shop(settings: Settings) -> None:
    settings.PASSWORD_HASHERS = PASSWORD_HASHERS


def test_password_is_hashed_with_the_figures_of_owasp(owner: User) -> None:
    owner.set_password(PHRASE)
    assert owner.password.startswith("argon2$argon2id$v=19$m=19456,t=2,p=1$")


def test_older_hash_is_made_anew_at_the_sign_in(owner: User, stranger: Client) -> None:
    owner.password = make_password(PHRASE, hasher="pbkdf2_sha256")
    owner.save()
    fields = {"email": owner.email, "password": PHRASE}
    assert stranger.post(reverse("people_sign_in"), fields).status_code == 303
    owner.refresh_from_db()
    assert identify_hasher(owner.password).algorithm == "argon2"
    assert owner.check_password(PHRASE)


def test_older_pin_is_hashed_anew_when_it_is_used(
    owner: User, bench_hand: User, now: datetime
) -> None:
    User.objects.filter(pk=owner.pk).update(pin=make_password(PIN, hasher="pbkdf2_sha256"))
    actions.check_pin(owner.pk, PIN, device="one", by=bench_hand, now=now)
    owner.refresh_from_db()
    assert identify_hasher(owner.pin).algorithm == "argon2"


def test_wrong_pin_hashes_nothing_anew(owner: User, bench_hand: User, now: datetime) -> None:
    old = make_password(PIN, hasher="pbkdf2_sha256")
    User.objects.filter(pk=owner.pk).update(pin=old)
    with pytest.raises(actions.Refused):
        actions.check_pin(owner.pk, "9000", device="one", by=bench_hand, now=now)
    owner.refresh_from_db()
    assert owner.pin == old
