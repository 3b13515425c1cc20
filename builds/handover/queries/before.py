"""What was done on a hilt before: the earlier builds, each by the newest facts of its sheet."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from uuid import UUID, uuid5

from django.db.models import Q

from builds.fitting.models import BuildPart
from builds.fitting.queries.listed import listed
from builds.handover.models import Return, Warranty
from builds.handover.queries.gestures import standing_gestures
from builds.handover.queries.returns import cause_of, returns_of
from builds.handover.queries.warranty import warranties
from builds.handover.states import Start
from builds.hilts.models import Hilt
from builds.intake.models import ConditionNote
from builds.intake.queries import standing_notes
from builds.progress.models import Build
from builds.progress.queries import builds
from builds.progress.states import FINISHED, Kind, State, is_earlier
from builds.proving.queries import Proof, proofs
from builds.proving.queries.standing import Stands
from builds.proving.states import Read
from builds.sounds.queries import slots_of
from shop.history.queries import made_once

_NAME = UUID("6f0a5c52-6c0e-5a1f-9d57-1f7f4b1f3f10")
MOST = 40  # builds of one hilt that are told of


@dataclass(frozen=True)
class Past:
    """One earlier build of a hilt, in finished data."""

    build: Build
    parts: list[BuildPart]
    readings: list[Stands]
    notes: list[ConditionNote]
    slots: int
    gestures: int
    warranty: Warranty | None
    returns: list[Return]

    @property
    def is_finished(self) -> bool:
        """Whether it left with the work done."""
        return self.build.state in FINISHED


@dataclass(frozen=True)
class Before:
    """What was done on the hilt, or the blade alone, of a build before it, the newest first."""

    past: Sequence[Past]
    source: Build | None  # the build to start from, where that was not done
    started_from: str  # the number of the build that it was started from
    ways: list[tuple[str, str, bool]]  # how its parts are taken over, and which is the usual one

    @property
    def newest(self) -> Past | None:
        """The last one."""
        return self.past[0] if self.past else None


def start_token(build: Build) -> UUID:
    """What names the deed by which a build starts from another: done once for each build."""
    return uuid5(_NAME, build.about)


def leaves_its_cell_out(build: Build) -> bool:
    """Whether it comes of a return with a harmed cell, which is never taken for one that stays."""
    cause = cause_of([build])
    return cause is not None and cause.is_harmed


def before(build: Build) -> Before:
    """The earlier builds on the hilt of a build, in a constant number of queries."""
    if build.hilt_id is None:
        return Before(_of_blade(build), None, "", [])
    earlier = builds().filter(hilt=build.hilt_id, number__lt=build.number)
    past = pasts(list(earlier.order_by("-number")[:MOST]))
    made = made_once(start_token(build)).partition(":")[2]
    started = next((str(each.build) for each in past if str(each.build.pk) == made), "")
    full = (each.build for each in past if each.is_finished and (each.parts or each.slots))
    may = build.is_open and is_earlier(build.state, State.TEST) and not started
    return Before(past, next(full, None) if may else None, started, _ways(build))


def _of_blade(build: Build) -> list[Past]:
    """What was done before on a blade that is worked on alone; what it came back from at least."""
    one = Q(returns__became=build)
    if build.blade_id:
        one |= Q(hilt=None, blade=build.blade_id)
    earlier = builds().filter(one, number__lt=build.number).distinct()
    return pasts(list(earlier.order_by("-number")[:MOST]))


def _ways(build: Build) -> list[tuple[str, str, bool]]:
    """What comes back usually keeps its parts; a full install begins anew."""
    usual = Start.ANEW if build.kind == Kind.FULL else Start.STAYS
    return [(way.value, str(way.label), way == usual) for way in Start]


def past_of(hilt: Hilt) -> list[Past]:
    """Every build of a hilt, the newest first."""
    return pasts(list(builds().filter(hilt=hilt).order_by("-number")[:MOST]))


def pasts(found: Sequence[Build]) -> list[Past]:
    """Builds with the newest facts of their sheets."""
    ids = [build.pk for build in found]
    parts, slots, gestures = listed(ids), slots_of(ids), standing_gestures(ids)
    tested, promised, returned = proofs(ids), warranties(ids), returns_of(ids)
    read = {pk: _figures(proof) for pk, proof in tested.items()}
    notes: dict[int, list[ConditionNote]] = {}
    for note in standing_notes(ids):
        notes.setdefault(note.build_id or 0, []).append(note)
    return [
        Past(
            build=build,
            parts=parts.get(build.pk, []),
            readings=read[build.pk],
            notes=notes.get(build.pk, []),
            slots=len(slots[build.pk]),
            gestures=len(gestures[build.pk]),
            warranty=promised.get(build.pk),
            returns=returned.get(build.pk, []),
        )
        for build in found
    ]


def _figures(proof: Proof) -> list[Stands]:
    """What was read as a figure in the newest run, by its newest reading."""
    lines: Iterable[Stands] = proof.standing.lines if proof.standing else ()
    return [
        each
        for each in lines
        if each.newest and each.newest.as_typed and each.line.read in {Read.FIGURE, Read.TIMED}
    ]
