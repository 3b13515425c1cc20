"""What a browser may keep of the bench's pages, and where it may not."""

import re

from django.conf import settings
from django.test import Client

from builds.models import Build
from builds.progress.states import State
from shop.models import User
from tests.makers import make_build

SCRIPT = settings.BASE_DIR / "static" / "js" / "kept-pages.js"
KEPT = ("/", "/bench/", "/build/1/", "/dispatch/")
NOT_KEPT = ("/settings/", "/orders/", "/messages/", "/stores/", "/help/", "/settings/money/")


def body(client: Client, path: str) -> str:
    """The opening tag of a page's body."""
    html = client.get(path, secure=True).content.decode()
    found = re.search(r"<body[^>]*>", html)
    assert found, path
    return found[0]


def test_pages_of_the_bench_say_that_they_may_be_kept(
    owner_client: Client, owner: User, now: object
) -> None:
    make_build(owner, now, State.INTAKE)
    assert [path for path in KEPT if "data-keeps" not in body(owner_client, path)] == []
    assert [path for path in NOT_KEPT if "data-keeps" in body(owner_client, path)] == []


def test_form_that_came_back_is_not_kept(
    bench_client: Client, bench_hand: User, now: object
) -> None:
    build: Build = make_build(bench_hand, now, State.INTAKE)
    answer = bench_client.post(f"/build/{build.number}/cell/", {"volts": "a lot"}, secure=True)
    assert answer.status_code == 422
    assert b"data-keeps" not in answer.content


def test_kept_page_has_the_policy_of_every_answer(bench_client: Client) -> None:
    policy = bench_client.get("/bench/").headers["Content-Security-Policy"]
    said = re.search(r'POLICY = "([^"]*)"', SCRIPT.read_text())
    assert said
    parts = {part.strip() for part in policy.split(";")}
    assert {part.strip() for part in said[1].split(";")} == parts


def test_without_https_there_is_no_worker(bench_client: Client) -> None:
    assert bench_client.get("/worker.js").status_code == 404
    assert b"kept-pages.js" not in bench_client.get("/bench/").content
    assert bench_client.get("/worker.js", secure=True).status_code == 200
    assert b"kept-pages.js" in bench_client.get("/bench/", secure=True).content


def test_settings_say_what_works(owner_client: Client) -> None:
    plain = owner_client.get("/settings/addresses/").content.decode()
    assert "only while a page stays open" in plain
    under = owner_client.get("/settings/addresses/", secure=True).content.decode()
    assert "open without a connection" in under


def test_page_in_place_of_one_that_is_not_kept_names_nobody(client: Client, house: object) -> None:
    page = client.get("/no-connection/").content.decode()
    assert "The shop does not answer" in page
    assert "csrfmiddlewaretoken" not in page
