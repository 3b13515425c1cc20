"""A media folder that is each test's own."""

from pathlib import Path

import pytest
from pytest_django import Settings


@pytest.fixture(autouse=True)
def media(settings: Settings, tmp_path: Path) -> Path:
    """The folder that the shop's files lie in."""
    folder = tmp_path / "media"
    options = {**settings.STORAGES["default"], "OPTIONS": {"location": folder}}
    settings.STORAGES = {**settings.STORAGES, "default": options}
    return folder
