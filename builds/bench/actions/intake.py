"""Composed deeds of intake: log a parcel and tie it to a build in one go."""

from datetime import datetime
from typing import Any
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from builds.gates import actions as gates
from builds.intake import actions as intake
from builds.intake.models import Arrival
from builds.progress.actions import Overtaken
from builds.progress.models import Build
from builds.progress.states import State
from shop.people.models import User
from shop.post.models import Message, Occasion
from shop.post.models import State as Post


@transaction.atomic
def log_arrival(
    fields: dict[str, Any], *, token: UUID, build: Build | None, by: User, now: datetime
) -> tuple[Arrival, str]:
    """Log a parcel; when its hilt is known, tie it and take the build into intake."""
    arrival = intake.receive(token=token, fields=fields, by=by, now=now)
    if build is None:
        return arrival, _("Logged. Say whose it is when you know.")
    return arrival, tie(arrival, build, by=by, now=now)


@transaction.atomic
def tie(arrival: Arrival, build: Build, *, by: User, now: datetime) -> str:
    """Tie a parcel to a build and take it into intake if its gate is open. Says what happened."""
    intake.match(arrival, build, by, now)
    if build.state != State.BOOKED:
        return _("Tied to %s.") % build
    try:
        # The moves so far: after an undo, tying again is a move of its own.
        token = uuid5(arrival.token, f"intake:{build.pk}:{build.moves.count()}")
        gates.advance(build.pk, token=token, expected=State.BOOKED, by=by, now=now)
        gates.start(build.pk, expected=State.INTAKE, by=by, now=now)
    except (gates.Refused, Overtaken) as shut:
        return str(shut)
    return _("%(name)s is in intake.") % {"name": build.hilt or build}


@transaction.atomic
def correct(arrival: Arrival, wrong: Build, right: Build, *, by: User, now: datetime) -> str:
    """Correct a match; says so when the wrong customer was already told."""
    tied = wrong.matches.filter(arrival=arrival, ended_at=None).first()
    since = tied.at if tied else now
    intake.rematch(arrival, wrong, right, by, now)
    said = [tie(arrival, right, by=by, now=now)]
    told = Message.objects.filter(
        about=wrong.about,
        occasion=Occasion.ARRIVED,
        state__in=[Post.SENT, Post.QUEUED],
        made_at__gte=since,  # of an earlier parcel of theirs they were told rightly
    )
    if told.exists():
        customer = wrong.item.order.customer
        said.append(
            _("%(who)s was told that it arrived: write to them about %(number)s.")
            % {"who": customer.called, "number": wrong}
        )
    return " ".join(said)
