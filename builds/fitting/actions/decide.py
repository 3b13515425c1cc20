"""That what a sum found was looked at and may be so, with the reason."""

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.fitting.actions.held import open_build
from builds.fitting.models import Decision
from builds.fitting.queries.findings import Found, Said, findings_of
from builds.fitting.refusals import Overtaken, Refused
from builds.progress.models import Build
from shop.history.actions import record
from shop.house.queries import house
from shop.people.models import User


@transaction.atomic
def decide(
    build_id: int, key: str, words: str, *, token: UUID, by: User, now: datetime
) -> Decision:
    """Accept what was found, for this build or, where it is of a kit, once for all of that kit.

    :raises Overtaken: somebody decided it first.
    :raises Refused: nothing of the kind is found any more, or the reason is missing.
    """
    build = open_build(build_id)
    done = Decision.objects.filter(token=token).first()
    if done:
        return done
    if not words.strip():
        raise Refused(_("Write down why it may be so; it stays with the build."))
    found = findings_of([build], house())[build.pk]
    said = _asked(found, key)
    kit = found.plan.kit if found.plan and said.is_by_kit else None
    made = Decision.objects.create(
        token=token, build=None if kit else build, kit=kit, code=key, figures=said.figures,
        words=words.strip(), by=by, at=now,
    )  # fmt: skip
    _record(build, made, said, by, now)
    return made


def _record(build: Build, made: Decision, said: Said, by: User, now: datetime) -> None:
    abouts = [build.about, made.kit.about] if made.kit else [build.about]
    for about in abouts:
        record(
            "decided", about, by, now, code=said.code, why=made.words,
            kit=made.kit.name if made.kit else "",
        )  # fmt: skip


def _asked(found: Found, key: str) -> Said:
    """The finding that waits for this decision."""
    said = next((each for each in found.said if each.key == key), None)
    if said and said.decision:
        raise Overtaken(
            _("%(who)s decided it first: %(why)s")
            % {"who": said.decision.by.name, "why": said.decision.words}
        )
    if said is None or not said.is_open:
        raise Refused(_("There is nothing to decide here any more."))
    return said
