"""The Celery application: one code path, over Redis."""

import os

from celery import Celery
from django.conf import settings

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
app = Celery("hiltyard")
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
    broker_transport_options={"visibility_timeout": 120},
    broker_connection_retry_on_startup=True,
    worker_hijack_root_logger=False,
    beat_scheduler="celery.beat:Scheduler",
    beat_schedule={
        "outbox": {"task": "shop.post.tasks.sweep", "schedule": 30.0},
        "renditions": {"task": "shop.files.tasks.sweep", "schedule": 60.0},
        "reminders": {"task": "builds.queue.tasks.remind", "schedule": 600.0},
    },
)
# Tasks are found by naming the rooms that have any.
app.autodiscover_tasks(["shop.files", "shop.post", "builds.queue"])
