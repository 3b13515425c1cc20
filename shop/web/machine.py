"""What the machine lacks, in plain words, for the pages that people look at all day."""

import shutil
from datetime import datetime, timedelta
from threading import Lock

from django.conf import settings
from django.utils.translation import gettext as _
from redis import Redis, RedisError

from shop.clock import within

LEAST_FREE = 50_000_000  # bytes; with less, not even the database can be sure of its next write
LITTLE = 500_000_000  # bytes; from here on it is said, while there is time
BROKER_S = 0.5
LOOK_EVERY = timedelta(seconds=10)
_SOCKET = "redis+socket://"
_seen: dict[str, tuple[datetime, int, bool]] = {}
_one_looks = Lock()


def broker_answers() -> bool:
    """Whether the broker does: without it mail and pictures wait, and people work on."""
    # Celery's way of writing a socket's address is not that of the client itself.
    url = settings.REDIS_URL.replace(_SOCKET, "unix://", 1)
    try:
        with Redis.from_url(url, socket_connect_timeout=BROKER_S, socket_timeout=BROKER_S) as one:
            return bool(one.ping())
    except (RedisError, OSError, ValueError):
        return False


def free_bytes() -> int:
    """The room left on the disk of the data folder."""
    return shutil.disk_usage(settings.DATA_DIR).free


def lacks(now: datetime) -> list[str]:
    """What people have to know of it; nothing where all is well. Looked at every ten seconds."""
    _at, free, has_broker = _looked(now)
    said = []
    if free < LEAST_FREE:
        said.append(_("The disk of the shop is full: nothing more can be kept. Make room on it."))
    elif free < LITTLE:
        said.append(_("The disk of the shop is nearly full: %d MB are left.") % (free // 1_000_000))
    if not has_broker:
        said.append(
            _(
                "The broker does not answer: mail and pictures wait. Work on; they follow by "
                "themselves once it is back."
            )
        )
    return said


def _looked(now: datetime) -> tuple[datetime, int, bool]:
    with _one_looks:
        known = _seen.get(settings.REDIS_URL)
        if known is None or not within(known[0], LOOK_EVERY, now):
            known = _seen[settings.REDIS_URL] = now, free_bytes(), broker_answers()
        return known
