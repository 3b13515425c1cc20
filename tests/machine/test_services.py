"""Every service of docker-compose.yml runs by its own command, on real PostgreSQL and Redis."""

import json
import re
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import closing
from http.client import HTTPConnection
from typing import Any
from urllib.parse import urlencode

import pytest

from tests import servers, smtp
from tests.machine.conftest import REPOSITORY, wait_until
from tests.machine.services import Services

pytestmark = [pytest.mark.server, pytest.mark.once]
LONG = 90  # seconds, for a machine that does much else
SET_UP = """
from shop.clock import now
from shop.house.models import House
from shop.people.models import Role, User
House.objects.create(
    name="Larkhill Works", email="bench@larkhill.example", set_up_at=now(),
    bench_url="http://127.0.0.1",
)
oda = User(email="oda@larkhill.example", name="Oda", role=Role.OWNER)
oda.set_password("a long enough phrase")
oda.save()
"""


@pytest.fixture(scope="module")
def mail_server() -> Iterator[smtp.Received]:
    with smtp.running() as server:
        yield server


@pytest.fixture(scope="module")
def shop(
    tmp_path_factory: pytest.TempPathFactory, mail_server: smtp.Received
) -> Iterator[Services]:
    """All services of ours, as they run."""
    if not (servers.redis_program() and servers.postgresql_programs()):
        pytest.skip("needs Redis and PostgreSQL: type `python3 manage.py test`")
    folder = tmp_path_factory.mktemp("services") / "data"
    folder.mkdir(mode=0o700)
    with servers.postgresql() as database, servers.redis() as redis:
        services = Services(
            folder, _made(database), f"{redis}/0", servers.free_port(), mail_server.url
        )
        services.run("prepare")
        _in_shell(services, SET_UP)
        try:
            for name in ("web", "worker", "beat"):
                services.start(name)
            assert wait_until(lambda: services.is_well("web"), LONG), services.log("web")
            yield services
        finally:
            services.stop()


def _made(database: str) -> str:
    """The address of a database that is there: the server begins with its own alone."""
    return database.rpartition("/")[0] + "/postgres"


def _in_shell(services: Services, code: str) -> None:
    command = [sys.executable, "manage.py", "shell", "-v", "0", "-c", code]
    subprocess.run(command, cwd=REPOSITORY, env=services.environment("web"), check=True)


def _lines(services: Services, name: str) -> list[dict[str, Any]]:
    """The lines of a service that are JSON."""
    return [json.loads(line) for line in services.log(name).splitlines() if line.startswith("{")]


def _get(services: Services, path: str) -> tuple[int, str]:
    try:
        with urllib.request.urlopen(f"http://127.0.0.1:{services.port}{path}") as answer:
            return answer.status, answer.read().decode()
    except urllib.error.HTTPError as error:
        with error:
            return error.code, error.read().decode()


def _ask_for_a_new_password(services: Services) -> str:
    """What somebody does who forgot theirs; the id that the answer bears."""
    with closing(HTTPConnection("127.0.0.1", services.port, timeout=30)) as connection:
        connection.request("GET", "/forgot/")
        page = connection.getresponse()
        found = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page.read().decode())
        cookie = page.headers["Set-Cookie"].partition(";")[0]
        assert found
        fields = {"csrfmiddlewaretoken": found.group(1), "email": "oda@larkhill.example"}
        form = {"Cookie": cookie, "Content-Type": "application/x-www-form-urlencoded"}
        connection.request("POST", "/forgot/", urlencode(fields), form)
        answer = connection.getresponse()
        answer.read()
    assert answer.status == 303
    return str(answer.headers["X-Request-ID"])


@pytest.mark.parametrize("name", ["web", "worker", "beat"])
def test_service_is_well_by_its_own_health_check(shop: Services, name: str) -> None:
    assert wait_until(lambda: shop.is_well(name), LONG), shop.log(name)
    assert shop.started[name].poll() is None


def test_first_service_prepares_and_prints_the_code(shop: Services) -> None:
    assert re.search(r"[A-Z0-9]{4}-[A-Z0-9]{4}", shop.log("prepare"))


def test_ready_page_tells_of_all_three(shop: Services) -> None:
    status, told = _get(shop, "/health/ready")
    assert (status, json.loads(told)["status"]) == (200, "ok")


def test_one_id_leads_from_the_request_to_the_task_that_it_woke(
    shop: Services, mail_server: smtp.Received
) -> None:
    request_id = _ask_for_a_new_password(shop)
    assert wait_until(lambda: mail_server.messages, LONG), shop.log("worker")

    def about_it(name: str) -> list[dict[str, Any]]:
        return [line for line in _lines(shop, name) if line["request"] == request_id]

    assert wait_until(lambda: about_it("worker"), 10)
    (asked,), (done,) = about_it("web"), about_it("worker")
    assert (asked["page"], asked["method"], asked["status"]) == ("desk_forgot", "POST", 303)
    assert (done["task"], done["outcome"]) == ("shop.post.tasks.deliver", "success")


def test_no_line_holds_an_address_of_a_person_or_what_opens_a_page(shop: Services) -> None:
    _get(shop, "/your/order/aaaabbbbccccdddd-22223333444455556666777722/")
    said = "".join(shop.log(name) for name in ("web", "worker", "beat"))
    assert "visitor_order" in said
    assert "oda@larkhill" not in said
    assert "22223333444455556666777722" not in said


def test_figures_of_all_processes_are_added_up(shop: Services) -> None:
    assert wait_until(lambda: "hiltyard_tasks_total" in _get(shop, "/metrics")[1], LONG)
    for _ in range(20):
        _get(shop, "/sign-in/")
    asked = r'hiltyard_requests_total{method="GET",page="people_sign_in",status="200"} (\d+)'
    counts = [re.search(asked, _get(shop, "/metrics")[1]) for _ in range(6)]
    assert {int(float(found.group(1))) for found in counts if found} == {20}
    assert re.search(
        r'hiltyard_tasks_total{outcome="success",task="shop\.post', _get(shop, "/metrics")[1]
    )
