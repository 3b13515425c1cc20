"""Files from strangers are refused before they lie in the temporary folder."""

from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client, RequestFactory
from pytest_django import Settings

from shop.web.access import caller_key


def test_stranger_leaves_no_file(stranger: Client) -> None:
    big = SimpleUploadedFile("p.jpg", b"x" * 200_000)
    assert stranger.post("/sign-in/", {"email": "a@example.com", "p": big}).status_code == 400


def test_small_form_of_a_stranger_is_read(stranger: Client) -> None:
    assert (
        stranger.post("/sign-in/", {"email": "a@example.com", "password": "x"}).status_code == 422
    )


def test_caller_is_who_the_proxy_says(rf: RequestFactory, settings: Settings) -> None:
    request = rf.get("/", headers={"X-Real-IP": "192.0.2.7"})
    assert caller_key(request) == "127.0.0.1"
    settings.CALLER_HEADER = "X-Real-IP"
    assert caller_key(request) == "192.0.2.7"
