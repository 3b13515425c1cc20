"""What the clock does, each once and at once: the tasks of the schedule, without a broker."""

from collections.abc import Callable

from shop.celery import app

# They look at files, not at rows, or delete what is theirs alone.
LEFT_OUT = {"orphans", "run out"}


def _tasks() -> dict[str, Callable[[], object]]:
    app.loader.import_default_modules()
    schedule = app.conf.beat_schedule
    return {
        name: app.tasks[entry["task"]].run
        for name, entry in schedule.items()
        if name not in LEFT_OUT
    }


TASKS = _tasks()
