"""docker-compose.yml: what it must hold, read as a program reads it."""

import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml

FILE = Path(__file__).resolve().parent.parent.parent / "docker-compose.yml"
LONG_LIVED = ["web", "worker", "beat", "db", "redis", "proxy"]
OURS = ["prepare", "web", "worker", "beat"]


@pytest.fixture(scope="module")
def compose() -> dict[str, Any]:
    return dict(yaml.safe_load(FILE.read_text()))


def test_file_is_what_the_published_schema_of_compose_files_asks_for() -> None:
    check = [sys.executable, "-m", "check_jsonschema", "--builtin-schema", "vendor.compose-spec"]
    done = subprocess.run([*check, str(FILE)], capture_output=True, text=True)
    assert done.returncode == 0, done.stdout


def test_web_is_well_when_it_can_serve_people(compose: dict[str, Any]) -> None:
    assert "/health/ready" in compose["services"]["web"]["healthcheck"]["test"][-1]


def test_the_services_are_those_of_a_shop(compose: dict[str, Any]) -> None:
    assert sorted(compose["services"]) == sorted(["prepare", *LONG_LIVED])


@pytest.mark.parametrize("name", LONG_LIVED)
def test_service_has_a_health_check_and_comes_back(compose: dict[str, Any], name: str) -> None:
    service = compose["services"][name]
    assert service["restart"] == "unless-stopped"
    assert service["healthcheck"]["test"][0] in {"CMD", "CMD-SHELL"}


@pytest.mark.parametrize("name", ["prepare", *LONG_LIVED])
def test_service_waits_for_services_that_exist(compose: dict[str, Any], name: str) -> None:
    waits_for = compose["services"][name].get("depends_on", {})
    assert set(waits_for) <= set(compose["services"])


@pytest.mark.parametrize("name", ["prepare", *LONG_LIVED])
def test_named_volumes_and_configs_are_declared(compose: dict[str, Any], name: str) -> None:
    service = compose["services"][name]
    volumes = {mount.split(":")[0] for mount in service.get("volumes", [])}
    configs = {config["source"] for config in service.get("configs", [])}
    assert volumes <= set(compose["volumes"])
    assert configs <= set(compose["configs"])


@pytest.mark.parametrize("name", OURS)
def test_our_processes_share_data_database_and_broker(compose: dict[str, Any], name: str) -> None:
    service = compose["services"][name]
    assert service["volumes"] == ["data:/data"]
    assert {"DATABASE_URL", "REDIS_URL", "HILTYARD_DATA"} <= set(service["environment"])


def test_there_is_one_clock(compose: dict[str, Any]) -> None:
    assert compose["services"]["worker"]["environment"]["EMBEDDED_CLOCK"] == "0"
    assert " beat " in compose["services"]["beat"]["command"]


def test_no_secret_is_inside(compose: dict[str, Any]) -> None:
    text = FILE.read_text()
    assert not re.search(r"(SECRET|LINK)_KEY", text)
    told = compose["services"]["web"]["environment"]
    given = {told[name] for name in ("METRICS_TOKEN", "MEDIA_KEY_ID", "MEDIA_SECRET")}
    assert all(re.fullmatch(r"\$\{\w+:-\}", value) for value in given)
    values = re.findall(r"(?:_PASSWORD: |hiltyard:)([^\s@]+)", text)
    assert [value for value in values if not value.startswith("${DB_PASSWORD:?")] == []


def test_images_are_pinned_to_a_version(compose: dict[str, Any]) -> None:
    images = {compose["services"][name]["image"] for name in ("db", "redis", "proxy")}
    assert all(re.search(r":\d", image) for image in images)


def test_image_copies_only_what_the_repository_has(compose: dict[str, Any]) -> None:
    lines = compose["services"]["prepare"]["build"]["dockerfile_inline"].splitlines()
    copied = [part for line in lines if line.startswith("COPY ") for part in line.split()[1:-1]]
    assert [name for name in copied if not (FILE.parent / name).exists()] == []


def test_dollars_meant_for_the_proxy_are_escaped(compose: dict[str, Any]) -> None:
    content = compose["configs"]["proxy"]["content"]
    assert re.findall(r"(?<!\$)\$(?![${])", content) == []
