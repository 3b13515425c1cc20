"""What is kept between looks is never older than what was written last."""

from datetime import datetime, timedelta
from threading import Thread

import pytest
from django.db import connection, connections, transaction

from shop.models import Throttle
from shop.web.unchanged import while_unchanged

pytestmark = pytest.mark.django_db(transaction=True)


def keys(now: datetime) -> list[str]:
    """The keys of what is throttled, as one look after the other reads them."""
    read = Throttle.objects.order_by("key").values_list("key", flat=True)
    return while_unchanged("keys", now, lambda: list(read.all()))


def write(key: str, now: datetime) -> None:
    Throttle.objects.create(key=key, since=now)


def elsewhere(key: str, now: datetime) -> None:
    """Write over another connection, as another process does."""

    def deed() -> None:
        write(key, now)
        connections.close_all()

    thread = Thread(target=deed)
    thread.start()
    thread.join()


def test_second_look_is_handed_what_the_first_one_read(now: datetime) -> None:
    first = keys(now)
    assert keys(now + timedelta(seconds=1)) is first


def test_what_was_written_here_or_elsewhere_is_seen_at_once(now: datetime) -> None:
    assert keys(now) == []
    write("a", now)
    assert keys(now) == ["a"]
    elsewhere("b", now)
    assert keys(now) == ["a", "b"]


def test_what_is_written_and_taken_back_is_never_kept(now: datetime) -> None:
    keys(now)
    with transaction.atomic():
        write("c", now)
        assert keys(now) == ["c"]
        transaction.set_rollback(True)
    assert keys(now) == []


def test_next_minute_reads_anew(now: datetime) -> None:
    first = keys(now)
    assert keys(now + timedelta(minutes=1)) is not first


def test_new_connection_reads_anew(now: datetime) -> None:
    first = keys(now)
    connection.close()
    assert keys(now) is not first
