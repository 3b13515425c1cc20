"""The Celery application: one code path, over Redis."""

import gc
import os
from datetime import UTC, datetime, timedelta
from typing import Any

from celery import Celery
from celery.beat import EmbeddedService, Scheduler
from celery.signals import worker_before_create_process, worker_process_init, worker_ready
from celery.worker import WorkController
from django.conf import settings

from shop import clock

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
app = Celery("hiltyard", task_cls="shop.house.speech:Spoken")
DATES = "builds.queue.tasks.reckon"
AT_ONCE, IN_TURN = 0, 3  # Redis: the smaller goes first
# While the worker is down the clock of another may tick on. What it sent is of no use for long;
# but for longer than any one task takes, or a busy worker would never come to a sweep.
LEAST_EXPIRES = 120.0
SET_BACK = timedelta(seconds=5)  # by less a clock is only put right
app.conf.update(
    broker_url=settings.REDIS_URL,
    task_serializer="json",
    accept_content=["json"],
    task_ignore_result=True,
    # The row is the job and every task may run twice, so a lost worker may cost a repeat,
    # never a loss: acknowledge late, take one at a time.
    task_acks_late=True,
    task_reject_on_worker_lost=True,
    worker_prefetch_multiplier=1,
    worker_pool="prefork",
    worker_concurrency=1,
    worker_max_memory_per_child=400_000,
    task_soft_time_limit=40,
    task_time_limit=45,
    broker_transport_options={
        "visibility_timeout": 120,
        # Waking a task must not hold up a page: a broker that is down is noticed at once.
        "max_retries": 1,
        "interval_start": 0,
        "interval_step": 0,
        "interval_max": 0,
        "socket_connect_timeout": 2,
    },
    # One worker does all: what a page waits for goes before what is in the queue already.
    task_routes={DATES: {"priority": AT_ONCE}, "*": {"priority": IN_TURN}},
    broker_connection_retry_on_startup=True,
    broker_connection_max_retries=None,  # a broker that comes back after an hour is welcome
    worker_hijack_root_logger=False,
    beat_scheduler="shop.celery:Beat",
    beat_schedule={
        "outbox": {"task": "shop.post.tasks.sweep", "schedule": 30.0},
        "renditions": {"task": "shop.files.tasks.sweep", "schedule": 60.0},
        "orphans": {"task": "shop.files.tasks.sweep_orphans", "schedule": 86_400.0},
        "run out": {"task": "shop.people.tasks.sweep", "schedule": 86_400.0},
        "deeds": {"task": "shop.later.tasks.sweep", "schedule": 86_400.0},
        "reminders": {"task": "builds.queue.tasks.remind", "schedule": 600.0},
        "chases": {"task": "builds.queue.tasks.chase", "schedule": 600.0},
        "dates": {"task": DATES, "schedule": 20.0},
        "promises": {"task": "builds.queue.tasks.settle", "schedule": 600.0},
        "sheets": {"task": "builds.importing.tasks.sweep", "schedule": 60.0},
        "parts": {"task": "builds.fitting.tasks.release", "schedule": 60.0},
        "timers": {"task": "builds.proving.tasks.tell", "schedule": 60.0},
        "films": {"task": "builds.handover.tasks.sweep", "schedule": 120.0},
        "sounds": {"task": "builds.sounds.tasks.sweep", "schedule": 60.0},
        "names": {"task": "builds.forgetting.tasks.drop", "schedule": 86_400.0},
        "back-ups": {"task": "shop.keeping.tasks.look", "schedule": 60.0},
        # Each minute, so that it comes as the shop opens; all but once a day it only looks.
        "digest": {"task": "builds.bench.tasks.digest", "schedule": 60.0},
    },
)
for entry in app.conf.beat_schedule.values():
    entry["options"] = {"expires": max(entry["schedule"], LEAST_EXPIRES)}
# Tasks are found by naming the rooms that have any.
ROOMS = [
    "shop.files", "shop.keeping", "shop.later", "shop.people", "shop.post", "builds.fitting",
    "builds.sounds", "builds.proving", "builds.handover", "builds.forgetting", "builds.queue",
    "builds.bench", "builds.importing",
]  # fmt: skip
app.autodiscover_tasks(ROOMS)


class Beat(Scheduler):  # type: ignore[misc]  # Celery has no types
    """The clock of the shop. One that is set back does not make it stand still.

    By itself it would wait until it is once more as late as it was when each task last ran.
    """

    seen = datetime.fromtimestamp(0, UTC)

    def tick(self, *args: Any, **kwargs: Any) -> float:
        """Send what is due; how long to wait."""
        now = clock.now()
        if now < self.seen - SET_BACK:
            self._begin_anew()
        self.seen = now
        return float(super().tick(*args, **kwargs))

    def _begin_anew(self) -> None:
        for entry in self.schedule.values():
            entry.last_run_at = entry.default_now()
        self._heap = None


@worker_before_create_process.connect
def share(**kwargs: object) -> None:
    """Leave what is loaded where it is, so that the process that works shares it."""
    gc.collect()
    gc.freeze()


@worker_ready.connect
def begin(sender: WorkController, **kwargs: object) -> None:
    """Start the clock inside the worker, and sweep at once what a stop has left behind."""
    for entry in app.conf.beat_schedule.values():
        app.send_task(entry["task"])
    if settings.EMBEDDED_CLOCK:
        # As a thread: the worker's own `-B` is a child process, which outlives a kill -9 of the
        # worker and then ticks beside the next one. In memory: by itself it would keep a file,
        # which a kill can leave half written.
        EmbeddedService(app, thread=True, scheduler_cls=app.conf.beat_scheduler).start()


@worker_process_init.connect
def watch(**kwargs: object) -> None:
    """Count and trace the tasks of this worker's process."""
    # Here, because every other program that loads Celery does without.
    from shop.web.watched import watch_tasks  # noqa: PLC0415

    watch_tasks()
