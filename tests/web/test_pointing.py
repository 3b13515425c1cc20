"""Where a page that was refused begins: at what says why, with the folds around it open."""

from datetime import datetime

import pytest
from django.test import Client

from builds.models import Build
from shop.models import User
from shop.web.pointing import begins_at_the_reason
from tests.makers import make_build

BEGINS = ' tabindex="-1" autofocus>'


@pytest.mark.parametrize(
    ("page", "shown"),
    [
        ("<p>nothing wrong</p>", "<p>nothing wrong</p>"),
        ('<p class="wrong">a</p>', f'<p class="wrong"{BEGINS}a</p>'),
        (
            '<div class="wrong" id="x">a</div><div class="wrongs" role="alert">b</div>',
            f'<div class="wrong" id="x">a</div><div class="wrongs" role="alert"{BEGINS}b</div>',
        ),
        (
            '<p class="wrong" hidden>a</p><p class="help wrong">b</p><i class="wrong">c</i>',
            '<p class="wrong" hidden>a</p>'
            f'<p class="help wrong"{BEGINS}b</p><i class="wrong">c</i>',
        ),
        (
            '<details><p>x</p></details><details class="fold"><details open><p class="wrong">a',
            '<details><p>x</p></details><details class="fold" open><details open>'
            f'<p class="wrong"{BEGINS}a',
        ),
        (
            '<p class="wrong">a</p><input autofocus required>',
            '<p class="wrong">a</p><input autofocus required>',
        ),
    ],
)
def test_begins_at_the_first_thing_that_says_why(page: str, shown: str) -> None:
    assert begins_at_the_reason(page) == shown


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now)


@pytest.mark.django_db
@pytest.mark.parametrize("by_htmx", [False, True], ids=["page", "part"])
def test_form_that_is_refused_is_begun_at_its_reason(
    bench_client: Client, build: Build, by_htmx: bool
) -> None:
    headers = {"HX-Request": "true", "HX-Target": "holds"} if by_htmx else {}
    url = f"/build/{build.number}/hold/"
    page = bench_client.post(url, {"words": "May we?"}, headers=headers).content.decode()
    assert page.count(" autofocus") == 1
    assert f'role="alert"{BEGINS}' in page


@pytest.mark.django_db
def test_refusal_told_at_the_top_leads_to_the_top(bench_client: Client, build: Build) -> None:
    answer = bench_client.get(f"/build/{build.number}/collect/")
    assert answer.status_code == 303
    page = bench_client.get(answer.headers["Location"]).content.decode()
    assert 'class="error" tabindex="-1" autofocus>This build does not wait' in page
    again = bench_client.post(f"/build/{build.number}/move/", {"next": "/bench/#x"})
    assert "#" not in again.headers.get("Location", "")
