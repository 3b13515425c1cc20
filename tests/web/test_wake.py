"""Waking a task while the broker is down costs a page next to nothing."""

import pytest
from celery import Celery
from kombu.exceptions import OperationalError
from kombu.utils import functional

from shop.celery import app
from tests.servers import free_port


def test_broker_that_is_down_is_not_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    # An application of its own, since the shop's broker may well be up in this run.
    elsewhere = Celery(
        "elsewhere", broker=f"redis://127.0.0.1:{free_port()}/0", set_as_current=False
    )
    elsewhere.conf.broker_transport_options = app.conf.broker_transport_options
    waits: list[float] = []
    monkeypatch.setattr(functional, "sleep", waits.append)
    with pytest.raises(OperationalError):
        elsewhere.send_task("anything", retry=False)
    assert sum(waits) == 0
