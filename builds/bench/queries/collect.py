"""What is still open when a customer stands at the counter."""

from builds.gates.conditions import Condition, conditions
from builds.intake.models import Belonging
from builds.progress.models import Build


def owed(build: Build) -> list[Belonging]:
    """Belongings that neither went back nor were said to stay."""
    return list(Belonging.objects.filter(build=build, returned_at=None, kept_because=""))


def still_missing(build: Build) -> list[Condition]:
    """What else the gate asks; belongings are ticked on the page itself."""
    lacks = [asked for asked in conditions([build.pk])[build.pk] if not asked.is_open]
    here = bool(owed(build))  # what came in a box with another hilt is claimed on the sheet
    return [lack for lack in lacks if not (here and lack.code == "accounted")]
