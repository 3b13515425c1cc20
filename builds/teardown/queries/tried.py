"""How long was tried on the stuck joints of builds."""

from collections.abc import Mapping
from datetime import datetime

from builds.progress.models import Build
from builds.progress.queries import back_since
from builds.teardown.models import Attempt


def minutes_tried(build: Build) -> int:
    """How many minutes were tried on a build's stuck joints, since it was last put together."""
    since = back_since([build.pk]).get(build.pk)
    tried = build.attempts.all() if since is None else build.attempts.filter(at__gte=since)
    return sum(tried.values_list("minutes", flat=True))


def tried_since(moments: Mapping[int, datetime]) -> dict[int, int]:
    """Build id → minutes tried on its stuck joints since a moment of its own, in one query."""
    found: dict[int, int] = {}
    for each in Attempt.objects.filter(build__in=moments):
        if each.at >= moments[each.build_id]:
            found[each.build_id] = found.get(each.build_id, 0) + each.minutes
    return found
