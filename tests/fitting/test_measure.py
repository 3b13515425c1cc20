"""`manage.py measure`: a page beside a bare one, and nothing kept of it."""

from datetime import datetime
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from builds.management.commands import measure
from builds.progress.states import State
from shop.models import Session, User
from tests.fitting.fits import fit_out
from tests.makers import make_build

pytestmark = pytest.mark.django_db


def test_it_says_queries_times_and_their_ratio(
    owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(measure, "ROUNDS", 3)
    fit_out(make_build(owner, now, State.TEARDOWN), owner, now)
    said = StringIO()
    call_command("measure", "fit", stdout=said)
    assert "queries" in said.getvalue()
    assert "ratio" in said.getvalue()
    assert not Session.objects.exists()


def test_it_wants_a_hilt_to_measure(owner: User) -> None:
    with pytest.raises(CommandError, match="no build"):
        call_command("measure", "fit", stdout=StringIO())


def test_it_wants_a_shop(db: None) -> None:
    with pytest.raises(CommandError, match="not set up"):
        call_command("measure", "fit", stdout=StringIO())
