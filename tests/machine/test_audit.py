"""What the audit of the locks makes of each answer. The service itself is not asked here."""

import json
import os
import stat
import subprocess
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).resolve().parent.parent.parent
HOLE = {"id": "CVE-0000-0001", "fix_versions": ["2.0"]}


def audit(folder: Path, script: str) -> subprocess.CompletedProcess[str]:
    """The audit, with a program of this name that answers so."""
    program = folder / "pip-audit"
    program.write_text(f"#!/bin/sh\nfor out; do :; done\n{script}\n")
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    env = {**os.environ, "PATH": f"{folder}:{os.environ['PATH']}"}
    return subprocess.run(
        [str(REPOSITORY / ".ci" / "audit")], env=env, capture_output=True, text=True, check=False
    )


def found(*holes: dict[str, object]) -> str:
    told = {"dependencies": [{"name": "part", "version": "1.0", "vulns": list(holes)}]}
    return f"echo '{json.dumps(told)}' > \"$out\""


def test_known_hole_fails_and_is_named(tmp_path: Path) -> None:
    ended = audit(tmp_path, f"{found(HOLE)}\nexit 1")
    assert ended.returncode == 1
    assert "part 1.0: CVE-0000-0001, mended in 2.0" in ended.stdout


def test_no_hole_passes(tmp_path: Path) -> None:
    ended = audit(tmp_path, found())
    assert (ended.returncode, "0 known holes" in ended.stdout) == (0, True)


@pytest.mark.parametrize("error", ["requests.exceptions.ConnectionError: no name", "ServiceError"])
def test_service_out_of_reach_passes_and_says_so(tmp_path: Path, error: str) -> None:
    ended = audit(tmp_path, f"echo '{error}' >&2\nexit 1")
    assert ended.returncode == 0
    assert "cannot be reached" in ended.stdout


def test_asking_wrongly_fails(tmp_path: Path) -> None:
    ended = audit(tmp_path, "echo 'unrecognized arguments' >&2\nexit 2")
    assert ended.returncode == 2
    assert "unrecognized" in ended.stderr


def test_ci_asks() -> None:
    assert "step .ci/audit\n" in (REPOSITORY / ".ci" / "run").read_text()
