"""Builds with long lists of parts and wires, in bulk: what is asked of them is what pages cost."""

from collections.abc import Sequence
from datetime import datetime
from uuid import uuid4

from builds.fitting.models import BuildPart, WireRun
from builds.models import Build
from shop.models import Part, User


def much_fitted(builds: Sequence[Build], part: Part, by: User, now: datetime) -> None:
    """A part that is planned, one that is fitted, and a wire for each of some builds."""
    known = {"part": part, "kind": part.kind, "planned_at": now, "planned_by": by}
    BuildPart.objects.bulk_create(
        BuildPart(build=build, token=uuid4(), fitted_at=at, fitted_by=by if at else None, **known)
        for build in builds
        for at in (None, now)
    )
    WireRun.objects.bulk_create(
        WireRun(
            build=build, token=uuid4(), starts="cell", ends="board", carries="all", gauge=22,
            length_mm=90, part=part,
        )
        for build in builds
    )  # fmt: skip
