"""Watches requests and tasks as they run: an id for the lines of each, a count, one line."""

import logging
import re
import secrets
from collections.abc import Callable
from time import perf_counter
from typing import Any

from celery import Task
from celery.signals import task_postrun, task_prerun
from django.conf import settings
from django.http import HttpRequest, HttpResponse

from shop.web import counted, traced

requests_log = logging.getLogger("hiltyard.request")
tasks_log = logging.getLogger("hiltyard.task")
HEADER = "X-Request-ID"
# What somebody else made up is taken over only where it cannot be mistaken for anything else.
_FIT = re.compile(r"[A-Za-z0-9_.-]{8,64}", re.ASCII)
_began: dict[str, float] = {}


class Watched:
    """Gives a request its id, answers with it, and counts and logs the request by its page.

    The page is the name of its address, never the address: that may open something.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        request_id, began = _taken_from(request) or secrets.token_hex(8), perf_counter()
        with traced.working_on(request_id):
            response = self.get_response(request)
            _tell_request(request, response, perf_counter() - began)
        response.headers[HEADER] = request_id
        return response


def _taken_from(request: HttpRequest) -> str:
    # Only where the owner says that a proxy sets it: a stranger's own would mix up two stories.
    name = settings.REQUEST_ID_HEADER
    given = request.headers.get(name, "") if name else ""
    return given if _FIT.fullmatch(given) else ""


def _tell_request(request: HttpRequest, response: HttpResponse, took_s: float) -> None:
    page, method = _page_of(request), counted.known_method(request.method)
    counted.request(page, method, response.status_code, took_s)
    told = {"page": page, "method": method, "status": response.status_code, "ms": _ms(took_s)}
    said = "%(method)s %(page)s: %(status)d in %(ms)d ms"
    requests_log.info(said, told, extra={"told": told})


def _page_of(request: HttpRequest) -> str:
    found = request.resolver_match
    return (found.url_name or "none") if found else "none"


def watch_tasks() -> None:
    """Do the same for the tasks of this process: called as a worker starts one."""
    task_prerun.connect(_begin_task)
    task_postrun.connect(_end_task)


def _begin_task(task_id: str, task: Task, **more: object) -> None:
    # What the clock sends has no request behind it: its own id serves as well.
    traced.begin((task.request.headers or {}).get(traced.TASK_HEADER) or task_id)
    _began[task_id] = perf_counter()


def _end_task(task_id: str, task: Task, state: Any, **more: object) -> None:
    took_s = perf_counter() - _began.pop(task_id, perf_counter())
    outcome = str(state or "broken off").lower()
    counted.task(task.name, outcome, took_s)
    told = {"task": task.name, "outcome": outcome, "ms": _ms(took_s)}
    tasks_log.info("%(task)s: %(outcome)s in %(ms)d ms", told, extra={"told": told})
    traced.begin("")


def _ms(seconds: float) -> float:
    return round(seconds * 1000, 1)
