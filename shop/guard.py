"""Stops what the launcher started when the launcher itself is gone, however it went.

A process of its own with the standard library alone. It reads its input, a pipe whose other end
only the launcher holds: `+ id` and `- id` name process groups, and the end of the pipe means that
the launcher is dead. A pipe works on every system and cannot be forgotten by a kill -9.
"""

import os
import signal
import sys
import time

PATIENCE = 8.0  # seconds between the friendly signal and the last one


def main() -> None:
    """Keep the list of groups until the pipe ends, then stop them all."""
    for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(number, signal.SIG_IGN)
    groups: set[int] = set()
    for line in sys.stdin:
        sign, _, group = line.partition(" ")
        (groups.add if sign == "+" else groups.discard)(int(group))
    stop(groups)


def stop(groups: set[int]) -> None:
    """End every process of some groups: ask first, then insist."""
    deadline = time.monotonic() + PATIENCE
    send(groups, signal.SIGTERM)
    while time.monotonic() < deadline and any(alive(group) for group in groups):
        time.sleep(0.05)
    send(groups, signal.SIGKILL)


def send(groups: set[int], number: signal.Signals) -> None:
    """Send a signal to groups, of which some may be gone."""
    for group in groups:
        try:
            os.killpg(group, number)
        except (ProcessLookupError, PermissionError):
            continue


def alive(group: int) -> bool:
    """Whether a group still has a process."""
    try:
        os.killpg(group, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        pass
    return True


if __name__ == "__main__":
    main()
