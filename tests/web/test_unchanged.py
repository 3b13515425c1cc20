"""What is kept between looks is never older than what was written last."""

from collections.abc import Callable
from datetime import datetime, timedelta
from threading import Barrier, Thread

import pytest
from django.db import connections, transaction
from django.utils import translation

from shop.models import Throttle
from shop.web.reading import each_once, keeping
from shop.web.unchanged import is_unwritten, last_seen, until_written, while_unchanged

pytestmark = pytest.mark.django_db(transaction=True)


def keys(now: datetime) -> list[str]:
    """The keys of what is throttled, as one look after the other reads them."""
    read = Throttle.objects.order_by("key").values_list("key", flat=True)
    return while_unchanged("keys", now, lambda: list(read.all()))


def write(key: str, now: datetime) -> None:
    Throttle.objects.create(key=key, since=now)


def elsewhere(deed: Callable[[], object]) -> None:
    """Do something over another connection, as another thread or process does."""

    def run() -> None:
        deed()
        connections.close_all()

    thread = Thread(target=run)
    thread.start()
    thread.join()


def test_second_look_is_handed_what_the_first_one_read(now: datetime) -> None:
    first = keys(now)
    assert keys(now + timedelta(seconds=1)) is first


def test_look_in_another_thread_is_handed_it_too(now: datetime) -> None:
    first, seen = keys(now), []
    elsewhere(lambda: seen.append(keys(now)))
    assert seen[0] is first


def test_what_was_written_here_or_elsewhere_is_seen_at_once(now: datetime) -> None:
    assert keys(now) == []
    write("a", now)
    assert keys(now) == ["a"]
    elsewhere(lambda: write("b", now))
    assert keys(now) == ["a", "b"]


def test_what_is_written_and_taken_back_is_never_kept(now: datetime) -> None:
    keys(now)
    with transaction.atomic():
        write("c", now)
        assert keys(now) == ["c"]
        transaction.set_rollback(True)
    assert keys(now) == []


def test_next_minute_and_another_language_read_anew(now: datetime) -> None:
    first = keys(now)
    assert keys(now + timedelta(minutes=1)) is not first
    first = keys(now)
    with translation.override("de"):
        assert keys(now) is not first


def test_what_was_seen_last_stands_until_something_is_written(now: datetime) -> None:
    assert last_seen("nothing of the kind", now) is None
    first = keys(now)
    with transaction.atomic():
        assert last_seen("keys", now) is first
    elsewhere(lambda: write("d", now))
    assert last_seen("keys", now) is None


def test_reading_that_breaks_off_keeps_nothing(now: datetime) -> None:
    def break_off() -> list[str]:
        raise ValueError("broken off")

    with pytest.raises(ValueError, match="broken off"):
        while_unchanged("broken", now, break_off)
    assert while_unchanged("broken", now, lambda: ["whole"]) == ["whole"]


def test_many_looks_at_once_read_it_once(now: datetime) -> None:
    read: list[int] = []
    together = Barrier(6)

    def look() -> None:
        together.wait()
        while_unchanged("many", now, lambda: read.append(1))
        connections.close_all()

    threads = [Thread(target=look) for _each in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert read == [1]


def test_what_a_look_read_before_is_read_anew_for_what_is_kept(now: datetime) -> None:
    def counted() -> dict[int, int]:
        return each_once("throttles", lambda ids: dict.fromkeys(ids, Throttle.objects.count()), [1])

    with keeping():
        assert counted() == {1: 0}
        elsewhere(lambda: write("e", now))
        assert while_unchanged("counted", now, counted) == {1: 1}
        assert counted() == {1: 0}  # the look itself stays of one piece
    assert while_unchanged("counted", now, counted) == {1: 1}


def test_longer_deed_that_has_written_says_so(now: datetime) -> None:
    assert is_unwritten()
    with transaction.atomic():
        assert not is_unwritten()
        write("its key", now)
        with until_written():
            assert Throttle.objects.count() == 1
            with transaction.atomic():
                assert is_unwritten()
            write("f", now)
            assert not is_unwritten()
    assert is_unwritten()
