"""Takes builds apart for tests."""

from datetime import datetime
from uuid import uuid4

from builds.models import Build
from builds.teardown.actions import take_out
from builds.teardown.models import Inside
from shop.models import User
from tests.makers import answer, check_cell


def ready_for_heat(build: Build, by: User, now: datetime) -> None:
    """All that heat asks for."""
    check_cell(build, by, now)
    for what in Inside:
        take_out(build.pk, what, True, token=uuid4(), by=by, now=now)
    answer(build, "heat", by, now)
