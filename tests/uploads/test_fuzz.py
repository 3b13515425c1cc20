"""Damaged uploads break nothing: a few in every run, 20,000 in the long set."""

import os
from pathlib import Path

import pytest

from tests.uploads import corpus, fuzz


def test_same_seed_makes_the_same_file() -> None:
    files = corpus.sounds()
    assert [corpus.damaged(files, seed) for seed in range(40)] == [
        corpus.damaged(files, seed) for seed in range(40)
    ]


def test_whole_files_are_taken_at_every_door(tmp_path: Path) -> None:
    path = tmp_path / "upload"
    taken = 0
    for door, files in fuzz._doors().values():
        for content in files:
            path.write_bytes(content)
            taken += fuzz._through(door, content, path)[0] == "taken"
    assert taken >= 34


def test_child_that_dies_is_a_fault_of_its_file() -> None:
    def kill(_content: bytes, _path: Path) -> None:
        os.abort()

    found = list(fuzz._in_a_child({"x": (kill, [b"any"])}, range(5, 8)))
    assert [(each.seed, each.is_fault) for each in found] == [(5, True)]


def test_what_takes_too_much_is_a_fault() -> None:
    def eat(_content: bytes, _path: Path) -> None:
        bytearray(600_000_000).count(1)

    def break_down(_content: bytes, _path: Path) -> None:
        raise KeyError("not a refusal")

    for door in (eat, break_down):
        (found,) = fuzz._in_a_child({"x": (door, [b"any"])}, range(1))
        assert found.is_fault


def test_damaged_uploads_break_nothing() -> None:
    assert [each for each in fuzz.run(400, first_seed=1) if each.is_fault] == []


@pytest.mark.fault
def test_twenty_thousand_damaged_uploads_break_nothing() -> None:
    outcomes = list(fuzz.run(20_000, first_seed=100_000))
    assert len(outcomes) == 20_000
    assert [each for each in outcomes if each.is_fault] == []
