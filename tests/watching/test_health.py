"""Is the shop alive, and can it serve people? Said in plain words, whatever is away."""

import os
from collections import namedtuple
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from pytest_django import Settings

from builds.watching.queries import ready
from tests.servers import free_port

Usage = namedtuple("Usage", "total used free")


@pytest.fixture
def no_broker(settings: Settings) -> None:
    settings.REDIS_URL = f"redis://127.0.0.1:{free_port()}/0"


def _ready(client: Client, **headers: str) -> tuple[int, dict[str, Any]]:
    answer = client.get("/health/ready", headers=headers)
    return answer.status_code, answer.json()


def test_alive_is_said_without_a_database(client: Client) -> None:
    # pytest-django refuses the database to a test that did not ask for one
    answer = client.get("/health/live")
    assert (answer.status_code, answer.json()) == (200, {"status": "ok"})
    assert answer.headers["Cache-Control"] == "no-store"


@pytest.mark.django_db
def test_ready_shop_says_so_in_one_query(client: Client, no_broker: None) -> None:
    ready._wanted_migrations()
    with CaptureQueriesContext(connection) as asked:
        status, told = _ready(client)
    assert status == 200
    assert told["checks"]["database"] == {
        "status": "ok", "says": "The database answers and is up to date.",
    }  # fmt: skip
    assert told["checks"]["data folder"]["status"] == "ok"
    assert len(asked) == 1
    assert "sessionid" not in client.cookies


@pytest.mark.django_db
def test_broker_that_is_away_leaves_the_shop_in_service(client: Client, no_broker: None) -> None:
    status, told = _ready(client)
    assert (status, told["status"]) == (200, "degraded")
    assert told["checks"]["broker"]["says"].startswith("The broker does not answer")


@pytest.mark.django_db
def test_broker_of_the_shop_itself_is_asked_by_its_socket(
    client: Client, settings: Settings, tmp_path: Path
) -> None:
    settings.REDIS_URL = f"redis+socket://{tmp_path}/a%20b.sock"
    assert _ready(client)[1]["checks"]["broker"]["status"] == "degraded"


@pytest.mark.django_db
def test_database_of_an_older_version_is_not_ready(client: Client, no_broker: None) -> None:
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM django_migrations WHERE app = 'shop' AND name = '0027_dates'")
    status, told = _ready(client)
    assert (status, told["status"]) == (503, "failed")
    assert "manage.py migrate` (1 steps)" in told["checks"]["database"]["says"]


@pytest.mark.django_db
def test_full_disk_is_not_ready(
    client: Client, no_broker: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ready.shutil, "disk_usage", lambda _: Usage(10**9, 10**9, 3_000_000))
    status, told = _ready(client)
    assert status == 503
    assert told["checks"]["data folder"]["says"].endswith("3 MB are left.")


@pytest.mark.django_db
def test_data_folder_that_is_gone_is_not_ready(
    client: Client, no_broker: None, settings: Settings, tmp_path: Path
) -> None:
    settings.DATA_DIR = tmp_path / "gone"
    status, told = _ready(client)
    assert status == 503
    assert str(tmp_path) not in str(told)
    assert os.sep not in told["checks"]["data folder"]["says"]


@pytest.mark.django_db
def test_probe_may_call_the_machine_by_any_name_over_plain_http(
    client: Client, no_broker: None, settings: Settings
) -> None:
    settings.ALLOWED_HOSTS, settings.SECURE_SSL_REDIRECT = ["larkhill.example"], True
    assert _ready(client, host="web:8000")[0] == 200
    assert client.get("/health/live", headers={"host": "10.0.0.7"}).status_code == 200


@pytest.mark.django_db
def test_shop_before_its_first_set_up_is_ready_too(client: Client, no_broker: None) -> None:
    assert _ready(client)[0] == 200


def test_nothing_can_be_sent_to_it(client: Client) -> None:
    assert client.post("/health/live").status_code == 405
