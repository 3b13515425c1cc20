"""What the tests of the desk share."""

from pathlib import Path

import pytest
from django.test import Client
from pytest_django import Settings

from shop.env import make_setup_code, setup_code_file


@pytest.fixture(autouse=True)
def after_sign_in(settings: Settings) -> None:
    settings.LOGIN_REDIRECT_URL = "people_my_password"


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A data folder of this test's own."""
    monkeypatch.setenv("HILTYARD_DATA", str(tmp_path))
    return tmp_path


@pytest.fixture
def code(data: Path) -> str:
    """The one-time code, as `start` makes it."""
    return make_setup_code()


@pytest.fixture
def empty_shop(db: None, code: str) -> Client:
    """A browser at a shop that is not set up yet."""
    assert setup_code_file().exists()
    return Client()
