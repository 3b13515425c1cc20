"""What the clock sends: that it does not pile up, and what goes first in the one queue."""

import pytest

from shop.celery import app

LONGEST_TASK_S = 45


def priority(task: str) -> int:
    """As the broker has it: the smaller goes first."""
    return int(app.amqp.router.route({}, task)["priority"])


@pytest.mark.parametrize("name", app.conf.beat_schedule)
def test_sweep_that_nobody_came_to_is_dropped(name: str) -> None:
    entry = app.conf.beat_schedule[name]
    expires = entry["options"]["expires"]
    assert 2 * LONGEST_TASK_S < expires <= max(entry["schedule"], 120)


def test_dates_go_before_all_that_waits_already() -> None:
    others = {entry["task"] for entry in app.conf.beat_schedule.values()}
    others |= {"shop.post.tasks.send", "builds.handover.tasks.look"}
    others -= {"builds.queue.tasks.reckon"}
    first = priority("builds.queue.tasks.reckon")
    assert all(first < priority(task) for task in others)
