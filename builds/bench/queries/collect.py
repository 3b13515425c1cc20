"""What is still open when a customer stands at the counter."""

from builds.gates.conditions import Condition, conditions
from builds.intake.models import Belonging
from builds.progress.models import Build
from builds.progress.states import State


def owed(build: Build) -> list[Belonging]:
    """Belongings that neither went back nor were said to stay."""
    return list(Belonging.objects.filter(build=build, returned_at=None, kept_because=""))


def is_here(build: Build) -> bool:
    """Whether its hilt is in the shop: one that is booked alone has not come yet."""
    if build.hilt_id is None:
        return False
    return build.state != State.BOOKED or build.matches.filter(ended_at=None).exists()


def still_missing(build: Build) -> list[Condition]:
    """What else the gate asks; belongings are ticked on the page itself."""
    lacks = [asked for asked in conditions([build.pk])[build.pk] if not asked.is_open]
    here = bool(owed(build))  # what came in a box with another hilt is claimed on the sheet
    return [lack for lack in lacks if not (here and lack.code == "accounted")]
