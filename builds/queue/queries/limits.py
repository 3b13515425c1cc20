"""Reads how many builds may be started in a stage at a time."""

from django.utils.translation import gettext as _

from builds.progress.models import Build
from builds.queue.models import StageLimit
from shop.web.reading import once


@once
def stage_limits() -> dict[str, int]:
    """Stage → how many at most; a stage that is not in it has no limit."""
    return dict(StageLimit.objects.order_by("stage").values_list("stage", "most"))


def over_limit(build: Build) -> str:
    """A word for whoever started one more than the shop wants to have under way in a stage."""
    most = stage_limits().get(build.state)
    started = Build.objects.filter(state=build.state, started_at__isnull=False).count()
    if most is None or started <= most:
        return ""
    known = {"n": started, "stage": build.get_state_display(), "most": most}
    return _("That makes %(n)d started in %(stage)s; the shop wants %(most)d at most.") % known
