"""What the tests of the post room may ask for."""

from collections.abc import Iterator

import pytest
from pytest_django import Settings

from tests import smtp


@pytest.fixture
def mail_server(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> Iterator[smtp.Received]:
    """A real SMTP server to which the shop's mail goes, and which can be told to refuse."""
    with smtp.running() as server:
        settings.EMAIL_BACKEND = "shop.web.mailserver.Backend"  # the test runner's own keeps mail
        monkeypatch.setenv("EMAIL_URL", server.url)
        yield server
