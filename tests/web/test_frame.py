"""The frames around pages, and the pages that say what went wrong."""

import pytest
from django.contrib.auth.models import AnonymousUser
from django.contrib.messages import constants
from django.contrib.messages.storage.base import Message
from django.template.loader import render_to_string
from django.test import Client, RequestFactory
from django.views import defaults
from django.views.csrf import csrf_failure

from shop.house.models import House
from shop.people.models import Role, User

OWNER = User(name="Oda", email="oda@larkhill.example", role=Role.OWNER)
ERRORS = ["400.html", "403.html", "404.html", "500.html", "403_csrf.html"]


@pytest.mark.parametrize("template", ERRORS)
def test_error_page_stands_without_any_context(template: str) -> None:
    html = render_to_string(template)
    assert html.count("<h1>") == 1
    assert 'aria-label="Rooms"' not in html


@pytest.mark.parametrize("template", ERRORS)
def test_staff_keep_their_rooms_on_an_error_page(template: str, gallery: None) -> None:
    assert 'aria-label="Rooms"' in render_to_string(template, {"who": OWNER})


@pytest.mark.parametrize("template", ERRORS)
def test_customer_reads_the_shops_name_alone_on_an_error_page(template: str, house: House) -> None:
    html = render_to_string(template, {"house": house, "who": AnonymousUser()})
    assert "Larkhill Works" in html
    assert "Hiltyard" not in html


def test_a_broken_page_answers_even_when_nothing_is_known(rf: RequestFactory) -> None:
    answer = defaults.server_error(rf.get("/"))
    assert answer.status_code == 500
    assert "Something broke on our side" in answer.content.decode()


def test_a_stale_form_is_told_in_plain_words(rf: RequestFactory, house: House) -> None:
    request = rf.post("/")
    request.house, request.user = house, AnonymousUser()
    answer = csrf_failure(request)
    assert answer.status_code == 403
    assert "too old to trust" in answer.content.decode()


def test_customers_page_is_kept_from_search_engines(house: House) -> None:
    html = render_to_string("visitor/frame.html", {"house": house})
    assert '<meta name="robots" content="noindex, nofollow">' in html
    assert "Hiltyard" not in html


def test_what_was_said_is_read_out(house: House) -> None:
    said = [Message(constants.SUCCESS, "Moved."), Message(constants.ERROR, "Taken.")]
    html = render_to_string("web/_said.html", {"messages": said})
    assert 'role="status"' in html
    assert '<p class="success">Moved.</p>' in html
    assert '<p class="error" tabindex="-1" autofocus>Taken.</p>' in html
    assert "hx-swap-oob" not in html


def test_what_was_said_travels_beside_a_part() -> None:
    # Into the place that is there: a live region that is replaced whole is not read out.
    assert (
        'id="said" class="said" role="status" aria-live="polite" hx-swap-oob="innerHTML"'
        in render_to_string("web/_said.html", {"out_of_band": True})
    )


@pytest.mark.django_db
def test_a_page_carries_no_inline_script_or_style(gallery: None, house: House) -> None:
    html = Client().get("/bench/").content.decode()
    assert "<style" not in html
    assert "style=" not in html
    assert html.count("<script") == html.count("<script src=")
