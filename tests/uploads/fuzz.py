"""Damaged uploads, many thousand of them, in children within bounds: what became of each.

``python -m tests.uploads.fuzz 20000 1`` prints the figures. A child takes a few hundred files; a
file may take 10 seconds of the processor and 512 MB beyond what the child had before it, and may
raise nothing but the refusals that pages have a sentence for. A child that dies is a fault of the
file that it was at.
"""

import os
import resource
import signal
import sys
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import django

MOST_S, MOST_MB = 10.0, 512
WALL_S = 120  # for a child that hangs without using the processor
A_CHILD = 250
FAULT = "fault"


@dataclass(frozen=True)
class Outcome:
    """What one file came to."""

    seed: int
    door: str
    said: str
    cpu_s: float
    grown_mb: float
    why: str = ""

    @property
    def is_fault(self) -> bool:
        """Whether it broke something, or a bound."""
        return self.said == FAULT or self.cpu_s > MOST_S or self.grown_mb > MOST_MB


Door = Callable[[bytes, Path], None]


def _doors() -> dict[str, tuple[Door, list[bytes]]]:
    """What takes bytes from people, and the files that are damaged for it."""
    from tests.uploads import corpus, doors  # noqa: PLC0415 - Django must be set up before

    return {
        "picture": (doors.picture, corpus.pictures()),
        "sound": (doors.sound, corpus.sounds()),
        "archive": (doors.archive, corpus.archives()),
        "sheet": (doors.sheet, corpus.sheets()),
    }


def run(count: int, first_seed: int = 1) -> Iterator[Outcome]:
    """So many files, from a seed on; the doors take turns."""
    doors = _doors()
    seed, end = first_seed, first_seed + count
    while seed < end:
        found = list(_in_a_child(doors, range(seed, min(seed + A_CHILD, end))))
        yield from found
        seed = found[-1].seed + 1


def _in_a_child(doors: dict[str, tuple[Door, list[bytes]]], seeds: range) -> Iterator[Outcome]:
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        os.close(reading)
        _work(doors, seeds, writing)
        os._exit(0)
    os.close(writing)
    with os.fdopen(reading, encoding="utf-8") as lines:
        begun = None
        for line in lines:
            parts = line.rstrip("\n").split("\t")
            if len(parts) == 2:
                begun = parts
                continue
            seed, door, said, cpu_s, grown_mb, why = parts
            yield Outcome(int(seed), door, said, float(cpu_s), float(grown_mb), why)
            begun = None
    _, status = os.waitpid(child, 0)
    if begun is not None:
        yield Outcome(int(begun[0]), begun[1], FAULT, 0, 0, f"the child ended: {status}")


def _work(doors: dict[str, tuple[Door, list[bytes]]], seeds: range, writing: int) -> None:
    from tests.uploads.corpus import damaged  # noqa: PLC0415 - as above

    # A file may not take the machine along: far above what is allowed, and then the child dies.
    resource.setrlimit(resource.RLIMIT_AS, (4 << 30, 4 << 30))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    names = sorted(doors)
    with TemporaryDirectory() as folder:
        for seed in seeds:
            name = names[seed % len(names)]
            door, files = doors[name]
            os.write(writing, f"{seed}\t{name}\n".encode())
            told = _one(seed, name, door, damaged(files, seed), Path(folder) / "upload")
            os.write(writing, ("\t".join(told) + "\n").encode())


def _one(seed: int, name: str, door: Door, content: bytes, path: Path) -> list[str]:
    path.write_bytes(content)
    signal.alarm(WALL_S)
    before, begun = _resident_mb("VmRSS"), time.process_time()
    Path("/proc/self/clear_refs").write_text("5")  # the peak is counted from here
    said, why = _through(door, content, path)
    cpu_s, grown = time.process_time() - begun, _resident_mb("VmHWM") - before
    signal.alarm(0)
    return [str(seed), name, said, f"{cpu_s:.3f}", f"{max(grown, 0):.1f}", why]


def _through(door: Door, content: bytes, path: Path) -> tuple[str, str]:
    from tests.uploads.doors import REFUSALS  # noqa: PLC0415 - as above

    try:
        door(content, path)
    except REFUSALS as refusal:
        str(refusal)
        return f"refused: {type(refusal).__name__}", ""
    except BaseException:
        return FAULT, traceback.format_exc().replace("\n", " | ").replace("\t", " ")
    return "taken", ""


def _resident_mb(what: str) -> float:
    for line in Path("/proc/self/status").read_text().splitlines():
        if line.startswith(what):
            return int(line.split()[1]) / 1024
    raise AssertionError(what)


def main() -> None:
    """Print what became of so many files."""
    django.setup()
    count, first = int(sys.argv[1]), int(sys.argv[2])
    begun = time.monotonic()
    said: dict[str, Counter[str]] = {}
    slowest: dict[str, float] = {}
    largest: dict[str, float] = {}
    faults = []
    for each in run(count, first):
        said.setdefault(each.door, Counter())[each.said] += 1
        slowest[each.door] = max(slowest.get(each.door, 0), each.cpu_s)
        largest[each.door] = max(largest.get(each.door, 0), each.grown_mb)
        if each.is_fault:
            faults.append(each)
            _print(f"seed {each.seed}, {each.door}: {each.cpu_s} s, {each.grown_mb} MB {each.why}")
    for door, counts in sorted(said.items()):
        told = ", ".join(f"{what} {n}" for what, n in counts.most_common())
        _print(f"{door}: slowest {slowest[door]:.2f} s, most {largest[door]:.0f} MB; {told}")
    _print(f"{count} files in {time.monotonic() - begun:.0f} s, {len(faults)} faults")


def _print(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    main()
