"""Real servers for the tests that pull plugs."""

import os
from collections.abc import Iterator

import pytest
from redis import Redis

from tests import servers

DATABASE = 9  # of a Redis that other tests use too


@pytest.fixture
def broker() -> Iterator[str]:
    """The address of an empty Redis: of the one that the run names, or of one of our own."""
    named = os.environ.get("TEST_REDIS_URL")
    if named:
        Redis.from_url(f"{named}/{DATABASE}").flushdb()
        yield f"{named}/{DATABASE}"
        return
    if not servers.redis_program():
        pytest.skip("needs a Redis: type `python3 manage.py test`, or set TEST_REDIS_URL")
    with servers.redis() as url:
        yield f"{url}/0"
