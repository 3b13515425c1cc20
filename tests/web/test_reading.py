"""What one look reads is read once; whatever was written since is never old on a page."""

from collections.abc import Iterator
from threading import Thread

import pytest
from django.db import connection, transaction
from django.http import HttpRequest, HttpResponse
from django.test import Client, RequestFactory
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop.house.models import House
from shop.house.queries import house as shop_now
from shop.web.reading import ReadOnce, each_once, keeping


@pytest.fixture
def look(house: House) -> Iterator[None]:
    """A look at a page that has read the shop already."""
    with keeping():
        assert shop_now().name == "Larkhill Works"
        yield


def twice(request: HttpRequest) -> HttpResponse:
    return HttpResponse(f"{shop_now().name} {shop_now().name}")


@pytest.mark.usefixtures("house")
@pytest.mark.parametrize(("method", "count"), [("get", 1), ("head", 1), ("post", 2), ("put", 2)])
def test_look_reads_once_what_a_deed_reads_anew(method: str, count: int) -> None:
    request = getattr(RequestFactory(), method)("/")
    with CaptureQueriesContext(connection) as asked:
        ReadOnce(twice)(request)
    assert len(asked) == count


@pytest.mark.usefixtures("house")
def test_task_reads_anew() -> None:
    with CaptureQueriesContext(connection) as asked:
        shop_now(), shop_now()
    assert len(asked) == 2


@pytest.mark.parametrize("page", ["bench_today", "bench_bench", "bench_dispatch", "desk_settings"])
def test_page_reads_the_shop_once(owner_client: Client, page: str) -> None:
    with CaptureQueriesContext(connection) as asked:
        assert owner_client.get(reverse(page)).status_code == 200
    assert sum('FROM "shop_house"' in each["sql"] for each in asked) == 1


def test_changed_setting_shows_on_the_next_request(owner_client: Client) -> None:
    owner_client.get(reverse("desk_settings"))
    House.objects.update(name="Fenwick Works")
    assert "Fenwick Works" in owner_client.get(reverse("desk_settings")).content.decode()


@pytest.mark.usefixtures("look")
def test_what_was_saved_is_read_in_the_same_transaction() -> None:
    with transaction.atomic():
        row = House.objects.get()
        row.name = "Fenwick Works"
        row.save()
        assert shop_now().name == "Fenwick Works"
    assert shop_now().name == "Fenwick Works"


@pytest.mark.usefixtures("look")
def test_what_was_updated_is_read_in_the_same_transaction() -> None:
    with transaction.atomic():
        House.objects.update(name="Fenwick Works")
        assert shop_now().name == "Fenwick Works"


@pytest.mark.usefixtures("look")
def test_what_was_rolled_back_is_not_kept() -> None:
    with transaction.atomic():
        House.objects.update(name="Fenwick Works")
        assert shop_now().name == "Fenwick Works"
        transaction.set_rollback(True)
    assert shop_now().name == "Larkhill Works"


@pytest.mark.usefixtures("look")
def test_nothing_read_before_a_lock_is_kept_after_it() -> None:
    with transaction.atomic():
        list(House.objects.select_for_update())
        with CaptureQueriesContext(connection) as asked:
            shop_now()
    assert len(asked) == 1


@pytest.mark.django_db(transaction=True)
def test_other_threads_keep_nothing_of_a_look() -> None:
    House.objects.create(name="Larkhill Works")
    seen = []

    def elsewhere() -> None:
        House.objects.update(name="Fenwick Works")
        seen.append(shop_now().name)
        connection.close()

    with keeping():
        shop_now()
        other = Thread(target=elsewhere)
        other.start()
        other.join()
    assert seen == ["Fenwick Works"]
    assert shop_now().name == "Fenwick Works"


@pytest.mark.usefixtures("house")
def test_reading_of_a_deed_keeps_nothing_beyond_itself() -> None:
    with CaptureQueriesContext(connection) as asked:
        with keeping():
            shop_now(), shop_now()
        shop_now()
    assert len(asked) == 2


@pytest.mark.usefixtures("look")
def test_reading_within_a_look_is_part_of_it() -> None:
    with keeping(), CaptureQueriesContext(connection) as asked:
        shop_now()
    assert len(asked) == 0


@pytest.mark.usefixtures("look")
def test_only_what_is_lacking_is_read() -> None:
    asked = []

    def read(ids: list[int]) -> dict[int, str]:
        asked.append(ids)
        return {pk: f"row {pk}" for pk in ids if pk != 3}

    assert each_once("rows", read, [1, 3]) == {1: "row 1"}
    assert each_once("rows", read, [1, 2, 3]) == {1: "row 1", 2: "row 2"}
    assert each_once("rows", read, (1, 3)) == {1: "row 1"}
    assert asked == [[1, 3], [2]]


@pytest.mark.usefixtures("house")
def test_page_that_breaks_ends_the_keeping() -> None:
    def breaks(request: HttpRequest) -> HttpResponse:
        raise ValueError(shop_now().name)

    with pytest.raises(ValueError, match="Larkhill"):
        ReadOnce(breaks)(RequestFactory().get("/"))
    with CaptureQueriesContext(connection) as asked:
        shop_now()
    assert len(asked) == 1
