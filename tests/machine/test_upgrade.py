"""A filled shop of the first release becomes one of today: nothing is lost, every page opens."""

from pathlib import Path

import pytest

from tests import servers
from tests.keeping.places import Place

pytestmark = [pytest.mark.server, pytest.mark.once, pytest.mark.django_db]
REAL = {"DJANGO_SETTINGS_MODULE": "shop.settings"}
KEPT = (
    "shop_customer",
    "shop_order",
    "shop_message",
    "builds_build",
    "builds_photo",
    "builds_move",
)


def _run(place: Place, *words: str) -> str:
    done = place.run("-m", "tests.machine.first_release", *words, **REAL)
    assert done.returncode == 0, done.stderr
    return done.stdout


def _upgraded(place: Place, builds: int) -> None:
    place.data.mkdir(mode=0o700, exist_ok=True)
    place.manage("help")  # makes the keys
    assert _run(place, "fill", str(builds)) == "empty: []\n"
    place.manage("migrate", "--no-input")
    place.manage("migrate", "--check")
    place.manage("collectstatic", "--no-input", "--verbosity", "0")


def _check(place: Place, builds: int) -> None:
    rows = place.rows()
    assert {name: len(rows[name]) for name in KEPT} == dict.fromkeys(KEPT, builds)
    assert rows["shop_customer"][0]["full_name"] == "Maud Fenwick 1"
    assert {row["state"] for row in rows["builds_build"]} == {"teardown", "sent", "booked"}
    answers = [line.split() for line in _run(place, "look").splitlines()]
    assert len(answers) > 40
    broken = [line for line in answers if line[0] not in {"200", "302", "303", "405"}]
    assert broken == []
    shown = {address for status, address in answers if status == "200"}
    assert {"/", "/bench/", "/build/1/", "/orders/2026-001/", "/your/order/"} <= shown


def test_a_filled_shop_of_the_first_release_opens_today(tmp_path: Path) -> None:
    place = Place(tmp_path / "old")
    _upgraded(place, 3)
    _check(place, 3)


@pytest.mark.fault
def test_a_large_one_does_on_postgresql(tmp_path: Path) -> None:
    if not servers.postgresql_programs():
        pytest.skip("needs PostgreSQL: type `python3 manage.py test --long`")
    with servers.postgresql() as url:
        database = {"DATABASE_URL": url.rpartition("/")[0] + "/postgres"}
        place = Place(tmp_path / "old", database)
        _upgraded(place, 600)
        _check(place, 600)
