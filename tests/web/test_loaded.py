"""The web server has its pages loaded before anybody looks, and the collector leaves them alone."""

import subprocess
import sys
from pathlib import Path

from tests.machine.conftest import REPOSITORY, clean_environment

PROGRAM = """
import gc, sys
import shop.wsgi
print("builds.desk.views.orders" in sys.modules, gc.get_freeze_count() > len(gc.get_objects()))
"""


def test_pages_are_loaded_and_frozen_as_the_server_starts(tmp_path: Path) -> None:
    keys = dict.fromkeys(("SECRET_KEY", "LINK_KEY"), "of no use, but long enough to pass as one")
    (tmp_path / "static").mkdir()
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM],
        cwd=REPOSITORY, env=clean_environment(HILTYARD_DATA=str(tmp_path), **keys),
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert (done.stdout.split(), done.stderr) == (["True", "True"], "")
