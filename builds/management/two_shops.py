"""Holds a full shop against a young one, in turn, in one run: queries, times, the clock's tasks."""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import quantiles
from typing import Any

from django.core.management.base import CommandError

from shop import env

ROUNDS, WARM, AT_ONCE = 120, 3, 5
MOST = 1.25  # of what a page of the young shop takes


class Shop:
    """A child process that looks at the pages of one shop."""

    def __init__(self, folder: Path) -> None:
        if not folder.is_dir():
            raise CommandError(f"There is no data folder {folder}.")
        command = [sys.executable, str(env.BASE_DIR / "manage.py"), "measure", "rounds"]
        around = {key: value for key, value in os.environ.items() if key != "DATABASE_URL"}
        self._process = subprocess.Popen(  # noqa: S603 - our own command
            command, env={**around, "HILTYARD_DATA": str(folder)},
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        )  # fmt: skip

    def ask(self, what: str, **more: Any) -> Any:
        """What the child answers."""
        asks, answers = self._process.stdin, self._process.stdout
        if asks is None or answers is None:  # pipes were asked for
            raise CommandError("A shop cannot be asked.")
        asks.write(json.dumps({"what": what, **more}) + "\n")
        asks.flush()
        line = answers.readline()
        if not line:
            raise CommandError("A shop could not be looked at; its own words stand above.")
        return json.loads(line)

    def end(self) -> None:
        """Let the child go."""
        if self._process.stdin:
            self._process.stdin.close()
        self._process.wait()


@contextmanager
def both(young: str, old: str) -> Iterator[tuple[Shop, Shop]]:
    """The two shops, by their data folders."""
    shops = Shop(Path(young)), Shop(Path(old))
    try:
        yield shops
    finally:
        for shop in shops:
            shop.end()


def _pages(shop: Shop) -> dict[str, str]:
    """Name → address: each shop's own, since its private links are."""
    return {**shop.ask("addresses"), **shop.ask("past")}


def queries(young: str, old: str) -> Iterator[str]:
    """Every page's number of queries, in both: lines for those that differ, and the slowest."""
    with both(young, old) as shops:
        yield "young: {:,} builds, full: {:,}".format(*(shop.ask("size") for shop in shops))
        pages = [_pages(shop) for shop in shops]
        for shop, each in zip(shops, pages, strict=True):
            shop.ask("look", pages=each)  # what is made at a first look is made now
        first, second = (
            shop.ask("look", pages=each) for shop, each in zip(shops, pages, strict=True)
        )
        differ = [name for name in first if first[name][::2] != second.get(name, [])[::2]]
        for name in differ:
            yield f"  {name}: {_told(first.get(name))}, full {_told(second.get(name))}"
        yield f"{len(first)} pages looked at, {len(differ)} differ"
        slower = sorted(
            first.keys() & second.keys(), key=lambda name: first[name][1] - second[name][1]
        )
        for name in slower[:15]:
            yield f"  slowest beside the young: {_times(name, first, second)}"
        yield from _clock(*shops)


def _told(look: list[Any] | None) -> str:
    if look is None:
        return "no such page"
    return f"status {look[0]}, {look[2]} queries"


def _times(name: str, first: dict[str, Any], second: dict[str, Any]) -> str:
    return f"{name} {first[name][1] * 1000:.1f} ms, full {second[name][1] * 1000:.1f} ms"


def _clock(young: Shop, old: Shop) -> Iterator[str]:
    first, second = young.ask("clock"), old.ask("clock")
    for name, (seconds, asked) in second.items():
        before, asked_before = first[name]
        yield (
            f"  clock, {name}: {before * 1000:.1f} ms and {asked_before} queries, "
            f"full {seconds * 1000:.1f} ms and {asked}"
        )


def years(young: str, old: str, rounds: int = ROUNDS) -> Iterator[str]:
    """The 95th percentile of the pages that are looked at most, in both, and the ratio."""
    with both(young, old) as shops:
        yield "young: {:,} builds, full: {:,}".format(*(shop.ask("size") for shop in shops))
        pages = [shop.ask("five") for shop in shops]
        took: list[dict[str, list[float]]] = [{name: [] for name in each} for each in pages]
        for shop, each in zip(shops, pages, strict=True):
            shop.ask("time", pages=each, rounds=WARM)
        for _round in range(rounds // AT_ONCE):
            for shop, each, into in zip(shops, pages, took, strict=True):
                for name, seconds in shop.ask("time", pages=each, rounds=AT_ONCE).items():
                    into[name] += seconds
        for name in pages[0]:
            yield _line(name, *(each[name] for each in took))


def _line(name: str, young: list[float], old: list[float]) -> str:
    before, after = (quantiles(each, n=20)[-1] * 1000 for each in (young, old))
    half = sorted(old)[len(old) // 2] / sorted(young)[len(young) // 2]
    met = "met" if after / before <= MOST else "missed"
    return (
        f"  {name}: p95 {before:.1f} ms, full {after:.1f} ms, ratio {after / before:.2f} "
        f"(of medians {half:.2f}), at most {MOST} {met}"
    )
