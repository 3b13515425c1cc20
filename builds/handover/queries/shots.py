"""The shot list of a build: what its film is to show and say, from what the sheet already knows.

``shot_list`` is pure; ``shots_of`` reads what it is made from and which shots are ticked. A code
names its shot for good: a tick and a chapter stay with it however the list is ordered.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from builds.fitting.models import BuildPart
from builds.fitting.queries.listed import listed
from builds.handover.booklet_words.care import blade_out
from builds.handover.booklet_words.take_apart import TakenApart
from builds.handover.models import Gesture, ShotTick
from builds.handover.queries.gestures import standing_gestures
from builds.handover.queries.taken_apart import taken_apart
from builds.handover.words import HEADS
from builds.hilts.queries import take_aparts
from builds.progress.models import Build
from builds.sounds.models import Slot
from builds.sounds.queries import slots_of
from builds.sounds.words import colour_word
from shop.stores.kinds import PartKind


@dataclass(frozen=True)
class Has:
    """What a build has, as its film is to show it."""

    name: str
    is_blade_alone: bool = False
    takes_blade: bool = False
    gestures: Sequence[Gesture] = ()
    slots: Sequence[Slot] = ()
    parts: Sequence[BuildPart] = ()
    steps: TakenApart = field(default_factory=TakenApart)


@dataclass(frozen=True)
class Shot:
    """One shot: its code, what the chapter is called, what to show, what to say."""

    code: str
    title: str
    show: tuple[str, ...] = ()
    say: tuple[str, ...] = ()
    tick: ShotTick | None = None


@dataclass(frozen=True)
class Group:
    """Shots under one heading."""

    head: str
    shots: tuple[Shot, ...]


@dataclass(frozen=True)
class Shots:
    """The list of one build with its ticks; ``gone`` are ticks of what it has no more."""

    groups: tuple[Group, ...]
    gone: int = 0

    @property
    def all(self) -> list[Shot]:
        """Every shot in the order of the film."""
        return [shot for group in self.groups for shot in group.shots]

    @property
    def ticked(self) -> int:
        """How many were filmed."""
        return sum(shot.tick is not None for shot in self.all)

    @property
    def next(self) -> Shot | None:
        """The first that is still to film."""
        return next((shot for shot in self.all if shot.tick is None), None)

    def find(self, code: str) -> Shot | None:
        """The shot of a code; None where the build has it no more."""
        return next((shot for shot in self.all if shot.code == code), None)


def shots_of(build: Build) -> Shots:
    """The shot list of a build as it stands."""
    found = shot_list(_has(build))
    ticks = {t.code: t for t in _ticks(build)}
    groups = tuple(
        replace(g, shots=tuple(replace(s, tick=ticks.get(s.code)) for s in g.shots)) for g in found
    )
    known = {shot.code for group in groups for shot in group.shots}
    return Shots(groups, gone=len(ticks.keys() - known))


def _ticks(build: Build) -> Iterable[ShotTick]:
    return ShotTick.objects.filter(build=build, taken_back_at=None).select_related("by")


def _has(build: Build) -> Has:
    hilt, parts = build.hilt, listed([build.pk]).get(build.pk, [])
    name = hilt.name if hilt else build.blade.name if build.blade else _("the blade")
    return Has(
        name=name,
        is_blade_alone=hilt is None,
        takes_blade=hilt is not None and _takes_blade(build, parts),
        gestures=standing_gestures([build.pk])[build.pk],
        slots=slots_of([build.pk])[build.pk],
        parts=parts,
        steps=taken_apart(take_aparts([hilt])[hilt.pk]) if hilt else TakenApart(),
    )


def _takes_blade(build: Build, parts: Sequence[BuildPart]) -> bool:
    lit = {PartKind.BLADE, PartKind.LED, PartKind.STRIP}
    return build.blade_id is not None or any(part.kind in lit for part in parts)


def shot_list(has: Has) -> tuple[Group, ...]:
    """What to film, in the order of the film: only what this build has."""
    made = (
        Group(_("To begin with"), tuple(_opening(has))),
        Group(_("What it does"), tuple(map(_gesture, has.gestures))),
        Group(_("What is on the card"), tuple(map(_slot, has.slots))),
        Group(_("What it has"), tuple(_fittings(has))),
        Group(_("Taking it apart"), tuple(_apart(has))),
        Group(_("Battery"), tuple(_battery(has))),
        Group(_("To end with"), tuple(_closing(has))),
    )
    return tuple(group for group in made if group.shots)


def _opening(has: Has) -> Iterator[Shot]:
    yield Shot(
        "opening",
        has.name,
        (_("The whole of it, slowly turned, in good light."),),
        (
            _("Whose it is and what was done."),
            _("Flashing light follows: who is sensitive to it, or feels unwell, stops watching."),
        ),
    )
    if has.takes_blade:
        yield Shot(
            "blade-in",
            _("Blade in"),
            (_("Hilt switched off. Blade in to its stop, retention screw home by hand."),),
            (_("No force. A gentle pull shows that it holds; do that before every swing."),),
        )
    if has.is_blade_alone:
        yield Shot(
            "blade-lit",
            _("The blade, lit"),
            (_("In a hilt: every pixel alight, from the hilt to the tip."),),
            (_("Into which socket it fits, and that it goes in without force."),),
        )


def _gesture(gesture: Gesture) -> Shot:
    told = (
        f"{HEADS[gesture.being]}: {gesture.do}",
        (_("See: %s") % gesture.see if gesture.see else ""),
        (_("Hear: %s") % gesture.hear if gesture.hear else ""),
    )
    out = (_("To get out again: %s") % gesture.out,) if gesture.out else ()
    title = gesture.wanted[:1].upper() + gesture.wanted[1:]
    return Shot(f"gesture:{gesture.pk}", title, tuple(filter(None, told)), out)


def _slot(slot: Slot) -> Shot:
    facts = {"place": slot.place, "name": slot.name, "colour": colour_word(slot.colour)}
    show = [_("The blade in %(colour)s, %(look)s.") % {**facts, "look": slot.get_look_display()}]
    if slot.sound_set:
        show.append(_("Its sounds: %s. Switch on, swing, clash, switch off.") % slot.sound_set)
    if slot.music:
        show.append(_("Its music: %s") % slot.music)
    title = _("Slot %(place)s: %(name)s, %(colour)s") % facts
    return Shot(f"slot:{slot.pk}", title, tuple(show), (_("The colour by its name."),))


def _fittings(has: Has) -> Iterator[Shot]:
    for part in has.parts:
        if part.kind == PartKind.SWITCH:
            yield Shot(
                f"switch:{part.pk}",
                _("Switch: %s") % part.name,
                (_("A finger on it, close: where it sits and how far it goes."),),
                (_("What it does alone, and together with others."),),
            )
        elif part.kind == PartKind.ACCENT:
            yield Shot(
                f"accent:{part.pk}",
                _("Accent: %s") % part.name,
                (_("Alight, from where its owner looks at it."),),
                (_("When it burns and what it tells."),),
            )


def _apart(has: Has) -> Iterator[Shot]:
    if has.takes_blade:
        yield Shot(
            "blade-out",
            _("Blade out"),
            (blade_out(), _("Retention screw loosened, blade drawn straight out.")),
            (_("The screw stays in the hilt; do not lose it."),),
        )
    for stage in has.steps.apart:
        said = (f"{stage.said}.",) if stage.said else ()
        for step in stage.steps:
            title = _("Step %(label)s: %(words)s") % {"label": step.label, "words": step.words}
            show = tuple(filter(None, (step.how, capfirst(step.needs))))
            yield Shot(f"step:{step.key}", title, show, said)
    if has.steps.apart:
        yield Shot(
            "together",
            _("Together again"),
            (_("The same steps the other way round; wires lie free, nothing is pinched."),),
            (_("It goes home without force, or something is in the way."),),
        )
    shut = [step.words for step in has.steps.ours]
    leave = [p.part.care for p in has.parts if p.part and p.part.care]
    if shut or leave:
        yield Shot(
            "leave-alone",
            _("What to leave alone"),
            tuple(dict.fromkeys((*shut, *leave))),
            (_("Why, in a word; and to write to us instead."),),
        )


def _battery(has: Has) -> Iterator[Shot]:
    kinds = {part.kind for part in has.parts}
    cells = [part.name for part in has.parts if part.kind == PartKind.CELL]
    if cells:
        yield Shot(
            "cell",
            _("The battery"),
            (_("Where it sits, and which end goes first: %s.") % ", ".join(cells),),
            (
                _("Hot, swollen, dented, leaking, smelling: stop, do not charge it, write to us."),
                _("Only the same kind goes in its place. None loose in a pocket or a box."),
            ),
        )
    if cells or PartKind.PORT in kinds:
        plug = _(
            "The charge port, the plug going in, what lights up, what it looks like when full."
        )
        takes = _("Out of the hilt and into its own charger; what it shows when full.")
        yield Shot(
            "charging",
            _("Charging"),
            (plug if PartKind.PORT in kinds else takes,),
            (
                _("Its own charger alone. Stay with it, on stone, tile or metal."),
                _("The papers of battery and charger, and the rules where you live, go first."),
            ),
        )


def _closing(has: Has) -> Iterator[Shot]:
    yield Shot(
        "never",
        _("What not to do"),
        (_("Nothing more than a hand beside the hilt, and calm words."),),
        (
            _("Not into eyes; not near a pacemaker: there are magnets. Not for small children."),
            _("No water into it, no polish on it, no force on any thread."),
        ),
    )
    yield Shot(
        "closing",
        _("Goodbye"),
        (_("Switched off, blade beside it, as it goes into its box."),),
        (_("Where booklet and page are, and that questions are welcome."),),
    )
