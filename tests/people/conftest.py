"""Where the tests of sign-in end up."""

import pytest
from pytest_django.fixtures import SettingsWrapper


@pytest.fixture(autouse=True)
def after_sign_in(settings: SettingsWrapper) -> None:
    settings.LOGIN_REDIRECT_URL = "people_my_password"
