"""All figures as Prometheus text: what the processes counted, and what the tables say."""

from datetime import datetime

from prometheus_client import CollectorRegistry, generate_latest
from prometheus_client.exposition import CONTENT_TYPE_PLAIN_0_0_4
from prometheus_client.metrics_core import Metric
from prometheus_client.registry import Collector

from builds.watching.queries.gauges import Gauges
from shop.web import counted

CONTENT_TYPE = CONTENT_TYPE_PLAIN_0_0_4


class _Counted(Collector):
    def collect(self) -> list[Metric]:
        return list(counted.all_processes())


def text(now: datetime) -> bytes:
    """One look at everything."""
    registry = CollectorRegistry()
    registry.register(_Counted())
    registry.register(Gauges(now))
    return generate_latest(registry)
