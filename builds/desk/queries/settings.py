"""What the settings pages read."""

from django.db.models import Count, Prefetch, Q, QuerySet

from builds.dispatch.models import Service
from builds.intake.models import View
from builds.progress.models import Build, Place, Tray
from builds.progress.states import ON_THE_RULE, STAGES


def views_by_stage() -> list[tuple[str, list[View]]]:
    """The views that are asked for, stage by stage; a stage without any is left out."""
    by_stage: dict[str, list[View]] = {}
    for view in View.objects.filter(retired=False):
        by_stage.setdefault(view.stage, []).append(view)
    return [(str(s.label), by_stage[s]) for s in ON_THE_RULE if s in by_stage]


def retired_views() -> QuerySet[View]:
    """The views that are asked for no more."""
    return View.objects.filter(retired=True).order_by("label")


def trays() -> QuerySet[Tray]:
    """Every tray, with the open build that it holds in ``held``."""
    return Tray.objects.prefetch_related(
        Prefetch("builds", Build.objects.filter(state__in=STAGES), to_attr="held")
    )


def places() -> QuerySet[Place]:
    """Every place, with the number of open builds that stand there."""
    standing = Count("builds", filter=Q(builds__state__in=STAGES))
    return Place.objects.annotate(standing=standing).order_by("retired", "name")


def services() -> list[Service]:
    """The services that parcels go by, in the shop's order, retired ones too."""
    return list(Service.objects.all())
