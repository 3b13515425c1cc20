"""A small disk that may run full: root mounts one; others do so in a namespace of their own."""

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

SIZE_MB = 64
NAMESPACE = ("unshare", "--user", "--map-root-user", "--mount")


@contextmanager
def small(folder: Path) -> Iterator[Path | None]:
    """A folder that is a disk of its own, and a small one; None where mounting is refused."""
    if not _mount(folder):
        yield None
        return
    try:
        yield folder
    finally:
        subprocess.run(["umount", "--lazy", str(folder)], check=True)


def _mount(folder: Path, *within: str) -> bool:
    how = ["mount", "-t", "tmpfs", "-o", f"size={SIZE_MB}m,mode=700", "tmpfs", str(folder)]
    try:
        return subprocess.run([*within, *how], capture_output=True).returncode == 0
    except FileNotFoundError:
        return False


@cache
def may_be_had() -> bool:
    """Whether this person may mount a disk, here or in a namespace of their own."""
    with TemporaryDirectory() as name, small(Path(name)) as disk:
        return disk is not None or _mount(Path(name), *NAMESPACE)


def run_in_a_namespace(test: str) -> None:
    """Run one test again as the root of a namespace, who may mount there."""
    pytest_ = [sys.executable, "-m", "pytest", "-q", "-s", "-p", "no:cacheprovider", test]
    done = subprocess.run([*NAMESPACE, *pytest_], capture_output=True, text=True)
    print(done.stdout)  # noqa: T201 – the figures are what the long run is for
    assert done.returncode == 0, done.stderr[-2000:]
