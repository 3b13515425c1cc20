"""Figures for a machine that watches: right, cheap, for the right ones, and no address in them."""

import os
import re
from datetime import datetime, timedelta
from pathlib import Path
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from prometheus_client.parser import text_string_to_metric_families
from pytest_django import Settings

from builds.progress.linking import order_link
from builds.queue.models import Reckoning
from shop import folder
from shop.files.models import Blob
from shop.models import Message, User
from shop.post import links
from shop.web import counted
from tests.makers import make_build, make_item

pytestmark = pytest.mark.django_db
TOKEN = "a-long-token-for-the-one-that-watches"


def _figures(client: Client, **headers: str) -> dict[str, float]:
    """`name{label="value"}` → figure."""
    answer = client.get("/metrics", headers=headers)
    assert answer.status_code == 200
    return {
        _written(sample.name, sample.labels): sample.value
        for family in text_string_to_metric_families(answer.content.decode())
        for sample in family.samples
    }


def _written(name: str, labels: dict[str, str]) -> str:
    inside = ",".join(f"{key}={value}" for key, value in sorted(labels.items()))
    return f"{name}{{{inside}}}" if inside else name


def _message(made: datetime, state: str) -> Message:
    return Message.objects.create(
        key=str(uuid4()), message_id=str(uuid4()), occasion="free", to="maud@mail.example",
        subject="x", body="x", state=state, made_at=made, not_before=made,
    )  # fmt: skip


def test_requests_are_counted_by_page_method_and_status(
    client: Client, bench_client: Client
) -> None:
    before = _figures(client)
    bench_client.get("/")
    bench_client.get("/no-such-page/")
    after = _figures(client)

    def more(name: str) -> float:
        return after[name] - before.get(name, 0)

    assert more("hiltyard_requests_total{method=GET,page=bench_today,status=200}") == 1
    assert more("hiltyard_requests_total{method=GET,page=none,status=404}") == 1
    assert more("hiltyard_request_seconds_count{method=GET,page=bench_today}") == 1
    assert more("hiltyard_request_seconds_bucket{le=+Inf,method=GET,page=bench_today}") == 1


def test_no_address_and_no_private_link_is_in_them(
    client: Client, owner: User, now: datetime, settings: Settings
) -> None:
    link = order_link(make_item(owner, now).order, now)
    token = links.token(link.id, link.version, settings.LINK_KEY)
    client.get(f"/your/order/{token}/")
    said = client.get("/metrics").content.decode()
    assert 'page="visitor_order"' in said
    assert token not in said
    assert link.id not in said


def test_methods_that_nobody_knows_count_as_one(client: Client) -> None:
    for number in range(3):
        client.generic(f"STRANGE{number}", "/")
    said = client.get("/metrics").content.decode()
    assert "STRANGE" not in said
    assert 'method="OTHER"' in said


def test_outbox_photos_forecast_and_builds_are_told(
    client: Client, owner: User, monkeypatch: pytest.MonkeyPatch, now: datetime
) -> None:
    for age_s, state in ((60, "queued"), (300, "queued"), (900, "failed"), (9000, "sent")):
        _message(now - timedelta(seconds=age_s), state)
    Blob.objects.create(sha256="a" * 64, size=1, media_type="image/jpeg", kept_at=now)
    Blob.objects.create(
        sha256="b" * 64, size=1, media_type="image/jpeg", kept_at=now, rendered_at=now
    )
    made = now - timedelta(minutes=7)
    Reckoning.objects.create(made_at=made, mark="x", runs=100, took_ms=5)
    make_build(owner, now)
    monkeypatch.setattr("builds.watching.views.now", lambda: now)
    figures = _figures(client)
    assert figures["hiltyard_outbox_waiting"] == 2
    assert figures["hiltyard_outbox_failed"] == 1
    assert figures["hiltyard_outbox_oldest_seconds"] == 300
    assert figures["hiltyard_renditions_waiting"] == 1
    assert figures["hiltyard_forecast_age_seconds"] == 420
    assert figures["hiltyard_disk_free_bytes"] > 0
    assert sum(n for name, n in figures.items() if name.startswith("hiltyard_builds_open")) == 1


def test_age_of_the_newest_back_up_is_told_where_there_is_one(
    client: Client, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, now: datetime
) -> None:
    monkeypatch.setenv("BACKUP_FOLDER", str(tmp_path))
    monkeypatch.setattr("builds.watching.views.now", lambda: now)
    assert "hiltyard_backup_age_seconds" not in _figures(client)
    for name, age_s in (("hiltyard-20261124-030000.tar", 9000), ("hiltyard-1.age.tar", 600)):
        (tmp_path / name).touch()
        made = now.timestamp() - age_s
        os.utime(tmp_path / name, (made, made))
    assert _figures(client)["hiltyard_backup_age_seconds"] == 600


def test_a_full_shop_costs_as_many_queries_as_an_empty_one(
    client: Client, owner: User, now: datetime
) -> None:
    with CaptureQueriesContext(connection) as empty:
        _figures(client)
    for _ in range(5):
        make_build(owner, now)
        _message(now, "queued")
    with CaptureQueriesContext(connection) as full:
        _figures(client)
    assert len(full) == len(empty) <= 6


def test_another_machine_needs_the_token(client: Client, settings: Settings) -> None:
    away = {"REMOTE_ADDR": "192.0.2.44"}
    assert client.get("/metrics", **away).status_code == 404
    settings.METRICS_TOKEN = TOKEN
    assert client.get("/metrics", **away).status_code == 404
    wrong = {"authorization": f"Bearer {TOKEN[:-1]}"}
    assert client.get("/metrics", headers=wrong, **away).status_code == 404
    right = {"authorization": f"Bearer {TOKEN}"}
    assert client.get("/metrics", headers=right, **away).status_code == 200


def test_empty_token_opens_nothing(client: Client) -> None:
    bare = {"authorization": "Bearer "}
    assert client.get("/metrics", headers=bare, REMOTE_ADDR="192.0.2.44").status_code == 404


@pytest.mark.parametrize("name", ["X-Forwarded-For", "Forwarded", "X-Real-IP", "X-Caller"])
def test_who_comes_by_a_proxy_on_this_machine_is_not_this_machine(
    client: Client, settings: Settings, name: str
) -> None:
    settings.CALLER_HEADER = "X-Caller"
    assert client.get("/metrics", headers={name: "192.0.2.44"}).status_code == 404
    assert client.get("/metrics").status_code == 200


def test_behind_a_proxy_that_names_no_caller_only_the_token_opens(
    client: Client, settings: Settings
) -> None:
    settings.HTTPS = True
    assert client.get("/metrics").status_code == 404


def test_counts_of_an_earlier_run_are_emptied(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(folder, "counts", lambda: tmp_path)
    (tmp_path / "counter_old-12.db").write_bytes(b"x")
    (tmp_path / "kept").write_bytes(b"x")
    folder.begin_counting()
    assert [path.name for path in tmp_path.iterdir()] == ["kept"]


def test_two_containers_do_not_share_a_file() -> None:
    assert re.fullmatch(r"[0-9a-f]{8}-\d+", counted._process())
