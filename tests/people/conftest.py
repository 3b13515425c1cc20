"""Where the tests of sign-in end up."""

import pytest
from pytest_django import Settings


@pytest.fixture(autouse=True)
def after_sign_in(settings: Settings) -> None:
    settings.LOGIN_REDIRECT_URL = "people_my_password"
