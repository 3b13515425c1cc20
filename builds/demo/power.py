"""Slots, wires and decisions of the demo: most cells carry all, one connector does not."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from builds.demo.days import token
from builds.fitting.actions.decide import decide
from builds.fitting.actions.kits import plan_kit
from builds.fitting.actions.parts import plan_part
from builds.fitting.actions.wires import list_wire
from builds.fitting.models import Carries
from builds.fitting.queries.findings import findings_of
from builds.fitting.values import Wire
from builds.progress.models import Build
from builds.progress.states import Kind
from builds.sounds.actions import add_slot, cap_brightness, copy_slots
from builds.sounds.models import Look, SoundSet
from shop.house.queries import house
from shop.people.models import User
from shop.stores.actions.parts import add_part
from shop.stores.kinds import PartKind
from shop.stores.models import Kit, Part

Slot = tuple[str, str, str]  # name, colour, look
USUAL: tuple[Slot, ...] = (
    ("Ember", "#ff4000", Look.FLICKERING),
    ("Frost", "#00ffff", Look.STEADY),
    ("Harbour", "#0000ff", Look.PULSING),
)
OWN: dict[str, tuple[Slot, ...]] = {
    "Heron two-piece": (*USUAL, ("Reed bed", "#00ff00", Look.RUNNING)),
    "Osier": (("Willow", "#00ffa0", Look.STEADY), ("Dusk", "#8000ff", Look.PULSING)),
}
SETS = {"Ember": "Foundry", "Dusk": "Foundry", "Reed bed": "Foundry", "Frost": "Low Tide",
        "Harbour": "Low Tide", "Willow": "Low Tide"}  # fmt: skip
CAP, OWN_CAPS = 60, {"Heron two-piece": 80, "Copperfen": 45}
TOO_SMALL = "Heron two-piece"  # its connector bears less than its own slots draw
FIRST_OF_KIT, SECOND_OF_KIT = "Kestrel first", "Kestrel second"
WIRES = (
    Wire("cell", "board", Carries.ALL, 18, 110, colour="red and black"),
    Wire("board", "blade connector", Carries.BLADE, 22, 65, parallel=2, colour="red and black"),
    Wire("board", "speaker", Carries.SPEAKER, 28, 140, colour="white"),
    Wire("board", "switch", Carries.SIGNAL, 30, 60, colour="green"),
)
WHITE_MAY = "No slot is white; the board caps it, and the card sent along says so."
REST_MAY = "Told: the cell comes out when it hangs for more than a week."


@dataclass
class _Bench:
    """One build on the bench: who works, and the time, which goes on by a minute a deed."""

    build: Build
    by: User
    now: datetime

    def deed(self, *what: object) -> dict[str, Any]:
        """Token, person and moment of one deed."""
        self.now += timedelta(minutes=1)
        mark = token("power", self.build.number, *what)
        return {"token": mark, "by": self.by, "now": self.now}

    def untold(self) -> dict[str, Any]:
        """Person and moment of a deed that is told apart by what was seen."""
        self.now += timedelta(minutes=1)
        return {"by": self.by, "now": self.now}


def described(build: Build, by: User, now: datetime) -> None:
    """Write slots and cap down, and decide what needs it: the build goes on to install."""
    if _is_reckoned(build):
        bench = _Bench(build, by, now)
        _describe(bench)
        _decide(bench)


def decided(build: Build, by: User, now: datetime) -> None:
    """Decide what the wires have brought up since teardown."""
    if build.kind in {Kind.FULL, Kind.UPGRADE} and build.hilt is not None:
        _decide(_Bench(build, by, now))


def begun(build: Build, by: User, now: datetime) -> None:
    """Leave a build in teardown as it is: wires thought of, one connector too small, undecided."""
    if not _is_reckoned(build):
        return
    bench = _Bench(build, by, now)
    if _name(build) == TOO_SMALL:
        plan_part(build, _small(bench), 1, section=None, **bench.deed("small"))
    _describe(bench)
    for wire in WIRES:
        list_wire(build, wire, **bench.deed(wire.ends))


def chosen(build: Build, by: User, now: datetime) -> None:
    """Decide on full white once for all builds of a kit; the second of the pair follows it."""
    bench = _Bench(build, by, now)
    if _name(build) == FIRST_OF_KIT:
        _describe(bench)
        _decide(bench)
    elif _name(build) == SECOND_OF_KIT:
        first = Build.objects.get(hilt__name=FIRST_OF_KIT)
        kit = Kit.objects.get(plans__build=first)
        plan_kit(build, kit, **bench.deed("kit"))
        copy_slots(build.pk, first.pk, **bench.deed("slots"))
        cap_brightness(build.pk, CAP, seen=100, **bench.untold())


def _is_reckoned(build: Build) -> bool:
    is_judged = build.kind in {Kind.FULL, Kind.UPGRADE} and build.hilt is not None
    return is_judged and build.parts.exists() and not build.slots.exists()


def _name(build: Build) -> str:
    return build.hilt.name if build.hilt else ""


def _describe(bench: _Bench) -> None:
    name = _name(bench.build)
    for place, (called, colour, look) in enumerate(OWN.get(name, USUAL), 1):
        heard = SoundSet.objects.filter(name=SETS.get(called, SETS["Ember"])).first()
        values = {
            "place": place, "name": called, "colour": colour, "look": look,
            "sound_set_id": heard.pk if heard else None,
        }  # fmt: skip
        add_slot(bench.build.pk, values, **bench.deed("slot", place))
    cap_brightness(bench.build.pk, OWN_CAPS.get(name, CAP), seen=100, **bench.untold())


def _decide(bench: _Bench) -> None:
    for said in findings_of([bench.build], house())[bench.build.pk].to_decide:
        words = WHITE_MAY if said.code == "full-white" else REST_MAY
        decide(bench.build.pk, said.key, words, **bench.deed(bench.build.state, said.key))


def _small(bench: _Bench) -> Part:
    return add_part(
        PartKind.CONNECTOR, {"name": "Blade connector, small"}, spec={"pins": 3},
        stated={"current_ma": 3000}, source="its drawing", **bench.deed("connector"),
    )  # fmt: skip
