"""What the database and the disk say at this moment, as figures for a machine; constant queries."""

import shutil
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from django.conf import settings
from prometheus_client.metrics_core import GaugeMetricFamily, Metric
from prometheus_client.registry import Collector

from builds.progress.queries import count_by_state
from builds.queue.queries.outlooks import newest
from shop import env
from shop.files.queries import renditions_waiting
from shop.post.queries import outbox


class Gauges(Collector):
    """A collector over the tables, for one look."""

    def __init__(self, now: datetime) -> None:
        self.now = now

    def collect(self) -> Iterator[Metric]:
        """Each figure with its sentence."""
        yield from self._outbox()
        yield _gauge(
            "renditions_waiting",
            "Photos whose pictures are still to be made.",
            renditions_waiting(),
        )
        yield from self._forecast()
        yield from self._backup()
        yield from _disk()
        yield _builds()

    def _outbox(self) -> Iterator[Metric]:
        stands = outbox()
        yield _gauge("outbox_waiting", "Messages that wait to leave.", stands.waiting)
        yield _gauge("outbox_failed", "Messages that did not leave.", stands.failed)
        yield _gauge(
            "outbox_oldest_seconds", "How long the oldest message has been due.",
            max(0.0, (self.now - stands.oldest).total_seconds()) if stands.oldest else 0,
        )  # fmt: skip

    def _forecast(self) -> Iterator[Metric]:
        # Without one there is no age: the line is missing, which can be watched for too.
        if run := newest():
            age = (self.now - run.made_at).total_seconds()
            yield _gauge("forecast_age_seconds", "Age of the forecast that pages show.", age)

    def _backup(self) -> Iterator[Metric]:
        # By what lies there and not by what was written down: that is what can be restored.
        folder = Path(env.typed("BACKUP_FOLDER") or env.data_dir() / "backups")
        made = [path.stat().st_mtime for path in folder.glob("hiltyard-*.tar")]
        if made:
            age = self.now.timestamp() - max(made)
            yield _gauge("backup_age_seconds", "Age of the newest back-up in its folder.", age)


def _disk() -> Iterator[Metric]:
    disk = shutil.disk_usage(settings.DATA_DIR)
    yield _gauge("disk_free_bytes", "Room left on the disk of the data folder.", disk.free)
    yield _gauge("disk_size_bytes", "Size of the disk of the data folder.", disk.total)


def _builds() -> Metric:
    builds = GaugeMetricFamily("hiltyard_builds_open", "Open builds by stage.", labels=["stage"])
    for state, count in count_by_state().items():
        builds.add_metric([state], count)
    return builds


def _gauge(name: str, words: str, value: float) -> Metric:
    return GaugeMetricFamily(f"hiltyard_{name}", words, value=value)
