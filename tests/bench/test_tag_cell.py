"""The printed tag."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.test import Client

from builds.gates.actions import send_back
from builds.progress.models import Build
from builds.progress.states import State
from shop.models import User
from tests.makers import check_cell, make_build


def test_tag_warns_again_when_a_build_comes_back(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEST)
    check_cell(build, owner, now, "none")
    facts = {"token": uuid4(), "expected": State.TEST, "by": owner, "now": now + timedelta(days=1)}
    send_back(build.pk, State.TEARDOWN, reason="dead", caused_in=State.INSTALL, **facts)
    assert "CELL INSIDE?" in _cell_on_tag(bench_client, build)


def _cell_on_tag(client: Client, build: Build) -> str:
    page = client.get(f"/build/{build.number}/tag/").content.decode()
    return page.split('class="print-cell"')[1].split("</p>")[0]


@pytest.mark.parametrize(
    ("stage", "result", "words"),
    [
        (State.TEARDOWN, "good", "cell out"),
        (State.TEARDOWN, "none", "no cell"),
        (State.INTAKE, "", "CELL INSIDE?"),
        (State.INSTALL, "good", "CELL INSIDE?"),
        (State.DISPATCH, "none", "CELL INSIDE?"),
    ],
)
def test_tag_warns_of_a_cell_that_may_be_inside(
    stage: str, result: str, words: str, bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, stage)
    if result:
        check_cell(build, owner, now, result)
    assert words in _cell_on_tag(bench_client, build)
