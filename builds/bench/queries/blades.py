"""The blade of a build as its sheet shows it: what is known, how it sits in the socket."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from builds.engineering.fit import LEAST_DEPTH_MM
from builds.engineering.fit import blade as in_socket
from builds.hilts.models import Blade
from builds.hilts.queries import shapes
from builds.hilts.queries.blades import blades_of, facts_of
from builds.hilts.states import MeasuredThing
from builds.progress.models import Build
from shop.stores.units import shown


@dataclass(frozen=True)
class BladeShown:
    """What the sheet says of the blade of a build."""

    facts: str
    others: list[Blade]
    play: str = ""
    is_too_thick: bool = False


def blade_shown(build: Build, unit: str) -> BladeShown:
    """The blade, the customer's others to choose from, and its play in the socket."""
    others = [
        each for each in blades_of(build.item.order.customer_id)
        if each.ended_at is None or each.pk == build.blade_id
    ]  # fmt: skip
    facts = facts_of(build.blade, unit) if build.blade else ""
    return BladeShown(facts, others, *_play(build, unit))


def _play(build: Build, unit: str) -> tuple[str, bool]:
    """How a blade sits in the socket that is known, in words; empty where one is not."""
    socket = shapes([build.hilt])[build.hilt.pk].socket if build.hilt else None
    bore = socket.value(MeasuredThing.SOCKET_BORE) if socket else None
    if bore is None or build.blade is None or build.blade.diameter_mm is None:
        return "", False
    play = in_socket(bore, build.blade.diameter_mm, LEAST_DEPTH_MM).clearance_mm
    facts = {"bore": shown(bore, unit), "play": shown(abs(play), unit)}
    if play < 0:
        return _("Too thick for its socket of %(bore)s by %(play)s.") % facts, True
    return _("%(play)s of play in its socket of %(bore)s.") % facts, False
