"""The bootstrap: what it says to an old Python, to a machine without venv, without a network."""

import ast
import os
import re
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from shop import bootstrap
from tests.machine.conftest import REPOSITORY, clean_environment, wait_until
from tests.servers import free_port

CODE = ("manage.py", "shop", ".locks")


@pytest.fixture
def clone(tmp_path: Path) -> Path:
    """What a fresh clone has and the bootstrap needs."""
    folder = tmp_path / "clone"
    folder.mkdir()
    for name in CODE:
        source = REPOSITORY / name
        copy = shutil.copytree if source.is_dir() else shutil.copy2
        copy(source, folder / name)
    return folder


def _plain_python() -> str:
    """The Python that .venv was made from."""
    return str(Path(sys.base_prefix) / "bin" / f"python3.{sys.version_info.minor}")


def _start(clone: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [_plain_python(), "manage.py", "start"],
        cwd=clone, env=clean_environment(**environment), capture_output=True, text=True,
    )  # fmt: skip


@pytest.mark.parametrize("name", ["manage.py", "shop/__init__.py", "shop/bootstrap.py"])
def test_an_old_python_can_read_what_tells_it_that_it_is_old(name: str) -> None:
    ast.parse((REPOSITORY / name).read_text(), feature_version=(3, 6))


@pytest.mark.parametrize("version", [(3, 6), (3, 10), (3, 14)])
def test_python_out_of_range_is_told_what_to_type(version: tuple[int, int]) -> None:
    with pytest.raises(bootstrap.Refusal, match=r"python3\.11 manage\.py start"):
        bootstrap.check_python(version)


@pytest.mark.parametrize("version", [(3, 11), (3, 12), (3, 13)])
def test_python_in_range_is_taken(version: tuple[int, int]) -> None:
    bootstrap.check_python(version)


def test_python_without_venv_is_told_what_to_type(clone: Path, tmp_path: Path) -> None:
    # A module that stands in the way of the real one, as a Debian without python3-venv lacks it.
    (tmp_path / "hidden").mkdir()
    hide = "import sys; sys.modules['ensurepip'] = None\n"
    (tmp_path / "hidden" / "sitecustomize.py").write_text(hide)
    refused = _start(clone, PYTHONPATH=str(tmp_path / "hidden"))
    assert refused.returncode == 1
    assert re.fullmatch(r"This Python has no venv module: type `sudo apt.*\n", refused.stderr)


def test_download_that_fails_is_told_in_one_sentence(clone: Path) -> None:
    nowhere = {
        "PIP_INDEX_URL": "http://127.0.0.1:9/simple", "PIP_CONFIG_FILE": os.devnull,
        "PIP_FIND_LINKS": "", "PIP_RETRIES": "0", "PIP_NO_CACHE_DIR": "1",
    }  # fmt: skip
    refused = _start(clone, **nowhere)
    assert refused.returncode == 1
    assert refused.stderr.count("\n") == 1
    assert "see that this machine reaches the internet" in refused.stderr


def test_changed_lock_is_installed_anew(clone: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bootstrap, "VENV", str(clone))
    monkeypatch.setattr(bootstrap, "LOCKS", str(clone / ".locks"))
    (clone / "runtime.stamp").write_text(bootstrap.digest("runtime"))
    before = bootstrap.installed("runtime")
    (clone / ".locks" / "runtime.txt").write_text("# changed\n")
    assert (before, bootstrap.installed("runtime")) == (True, False)


@pytest.mark.parametrize("lock", ["runtime", "dev"])
def test_lock_names_no_address_and_hashes_every_package(lock: str) -> None:
    text = (REPOSITORY / ".locks" / f"{lock}.txt").read_text()
    packages = re.split(r"\n(?=\S)", text)
    assert "://" not in text
    assert all(re.search(r"==.*--hash=sha256:", package, re.S) for package in packages)


@pytest.mark.fault
@pytest.mark.once
def test_fresh_clone_starts_with_one_command(clone: Path, tmp_path: Path) -> None:
    for name in ("builds", "templates", "static"):
        shutil.copytree(REPOSITORY / name, clone / name)
    said = tmp_path / "said"
    with said.open("wb") as output:
        process = subprocess.Popen(
            [_plain_python(), "manage.py", "start", "--port", str(free_port())],
            cwd=clone, env=clean_environment(), stdout=output, stderr=subprocess.STDOUT,
        )  # fmt: skip
    opened = wait_until(lambda: "Open http://" in said.read_text(), 300)
    process.send_signal(signal.SIGINT)
    assert opened, said.read_text()
    assert process.wait(timeout=30) == 0
