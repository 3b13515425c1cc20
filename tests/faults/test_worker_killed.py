"""Workers killed with -9: every message leaves and every photo gets its pictures."""

import random
import time
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests import smtp
from tests.faults.workers import Shop, kill_alone, kill_with_children

SEED = 20261125


@pytest.fixture
def mail_server() -> Iterator[smtp.Received]:
    """A slow one, so that kills land in the middle of sending."""
    with smtp.running(delay_s=0.2) as server:
        yield server


@pytest.fixture
def shop(tmp_path: Path, broker: str, mail_server: smtp.Received) -> Iterator[Shop]:
    folder = tmp_path / "data"
    folder.mkdir()
    shop = Shop(folder, broker, mail_server.url)
    shop.run("django", "migrate", "-v0")
    yield shop
    shop.stop()


def kill_at_random(shop: Shop, times: int, within_s: float = 1.7) -> None:
    dice = random.Random(SEED)  # noqa: S311 – moments, not secrets
    for _ in range(times):
        worker = shop.start_worker()
        time.sleep(dice.uniform(0.0, within_s))
        dice.choice([kill_alone, kill_with_children])(worker)


def ids_by_subject(server: smtp.Received) -> dict[str, set[str]]:
    found: dict[str, set[str]] = defaultdict(set)
    for mail in server.messages:
        found[mail["Subject"]].add(mail["Message-ID"])
    return found


def wait_until_all_left(shop: Shop, within_s: float) -> float:
    began = time.monotonic()
    while shop.states().keys() != {"sent"}:
        if time.monotonic() - began > within_s:
            pytest.fail(f"after {within_s} s: {shop.states()}")
        time.sleep(0.5)
    return time.monotonic() - began


@pytest.mark.fault
def test_every_message_leaves_though_the_worker_is_killed_twenty_times(
    shop: Shop, mail_server: smtp.Received
) -> None:
    shop.run("tests.faults.outbox", "100")
    kill_at_random(shop, 20)
    left = shop.states().get("queued", 0)
    shop.start_worker()
    took = wait_until_all_left(shop, within_s=120)
    ids = ids_by_subject(mail_server)
    print(  # noqa: T201 – the figures are what the long run is for
        f"\n{left} of 100 were left at the last restart; all had left {took:.0f} s later; "
        f"{len(mail_server.messages) - 100} repeats"
    )
    assert len(ids) == 100
    assert {len(same) for same in ids.values()} == {1}


@pytest.mark.server
def test_every_message_leaves_after_two_kills(shop: Shop, mail_server: smtp.Received) -> None:
    shop.run("tests.faults.outbox", "12")
    kill_at_random(shop, 2)
    shop.let_leases_run_out()
    shop.start_worker()
    wait_until_all_left(shop, within_s=60)
    ids = ids_by_subject(mail_server)
    assert len(ids) == 12
    assert {len(same) for same in ids.values()} == {1}


@pytest.mark.server
def test_worker_leaves_no_child_behind(shop: Shop) -> None:
    worker = shop.start_worker()
    kill_alone(worker)
    deadline = time.monotonic() + 20
    while shop.any_left_of(worker):
        assert time.monotonic() < deadline, "a child outlived its worker"
        time.sleep(0.1)


def wait_until_all_rendered(shop: Shop, how_many: int, within_s: float) -> float:
    began = time.monotonic()
    while shop.rendered() != {True: how_many}:
        if time.monotonic() - began > within_s:
            pytest.fail(f"after {within_s} s: {shop.rendered()}")
        time.sleep(0.2)
    return time.monotonic() - began


@pytest.mark.fault
def test_every_photo_is_rendered_though_the_worker_is_killed_twenty_times(shop: Shop) -> None:
    shop.run_without_broker("tests.faults.photos", "40", "6000")
    kill_at_random(shop, 20, within_s=0.4)
    left = shop.rendered().get(False, 0)
    shop.start_worker()
    took = wait_until_all_rendered(shop, 40, within_s=120)
    print(  # noqa: T201 – the figures are what the long run is for
        f"\n{left} of 40 photos were left at the last restart; all had their pictures "
        f"{took:.0f} s later, the most tried one at try {shop.most_tries()}"
    )
    assert shop.missing_pictures() == []


@pytest.mark.server
def test_photos_are_rendered_though_no_wake_up_came_and_the_worker_was_killed(shop: Shop) -> None:
    shop.run_without_broker("tests.faults.photos", "8", "2400")
    assert shop.rendered() == {False: 8}
    kill_at_random(shop, 2, within_s=0.8)
    shop.start_worker()
    wait_until_all_rendered(shop, 8, within_s=60)
    assert shop.missing_pictures() == []
