"""Real servers for the tests that pull plugs."""

import os
import shutil
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from redis import Redis
from redis.exceptions import ConnectionError as NoConnection

from tests.smtp import free_port

DATABASE = 9  # of the Redis that other tests use too


@pytest.fixture
def broker(tmp_path: Path) -> Iterator[str]:
    """The address of an empty Redis: the one that the run names, or one of our own."""
    named = os.environ.get("TEST_REDIS_URL")
    if named:
        Redis.from_url(f"{named}/{DATABASE}").flushdb()
        yield f"{named}/{DATABASE}"
        return
    program = shutil.which("redis-server") or shutil.which("valkey-server")
    if not program:
        pytest.skip("needs a Redis: install redis-server, or set TEST_REDIS_URL")
    port = free_port()
    command = [program, "--port", str(port), "--bind", "127.0.0.1", "--save", ""]
    server = subprocess.Popen(command, cwd=tmp_path, stdout=subprocess.DEVNULL)
    _wait_for(port)
    yield f"redis://127.0.0.1:{port}/0"
    server.terminate()
    server.wait()


def _wait_for(port: int) -> None:
    for _ in range(200):
        try:
            Redis(port=port).ping()
        except NoConnection:
            time.sleep(0.05)
        else:
            return
    raise TimeoutError("the Redis of the test did not answer")
