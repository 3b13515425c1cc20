"""Sections from the blade's end to the pommel, the joints behind them, the holes in their walls."""

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.hilts.actions.once import locked, made_before, remember
from builds.hilts.models import Hilt, Hole, Joint, Section
from builds.hilts.queries import joint_mark, section_mark
from builds.hilts.refusals import Overtaken, Refused
from shop.history.actions import record
from shop.people.models import User

MOST_SECTIONS = 30  # more is a slip of the finger
_ASIDE = 1000  # while sections change places, two must never claim the same one


@transaction.atomic
def add_section(
    hilt: Hilt,
    name: str,
    *,
    token: UUID,
    by: User,
    now: datetime,
    holds_blade: bool = False,
    blade_screw: str = "",
    note: str = "",
) -> Section:
    """Put a section at the pommel's end of a hilt.

    :raises Refused: the hilt is full of sections, or the blade's socket is in another one.
    """
    hilt = locked(hilt.pk)
    if made := made_before(token):
        return Section.objects.get(pk=made)
    order = _sections(hilt)
    if len(order) >= MOST_SECTIONS:
        raise Refused(_("A hilt has at most %(n)d sections here.") % {"n": MOST_SECTIONS})
    if holds_blade:
        _ask_for_the_socket(order)
    section = hilt.sections.create(
        name=name,
        position=len(order) + 1,
        holds_blade=holds_blade,
        blade_screw=blade_screw,
        note=note,
    )
    record("section_added", hilt.about, by, now, section=name)
    remember(token, f"section:{section.pk}", by, now)
    return section


@transaction.atomic
def change_section(
    section_id: int,
    *,
    name: str,
    holds_blade: bool,
    blade_screw: str,
    note: str,
    seen: str,
    token: UUID,
    by: User,
    now: datetime,
) -> Section:
    """Give a section another name, or say that the blade's socket is in it.

    :param seen: the mark of the section that the person saw.
    :raises Overtaken: somebody changed it since.
    """
    section = _locked_section(section_id)
    if made_before(token):
        return section
    if section_mark(section) != seen:
        raise Overtaken(section.hilt.about)
    if holds_blade and not section.holds_blade:
        _ask_for_the_socket(_sections(section.hilt))
    section.name, section.holds_blade = name, holds_blade
    section.blade_screw, section.note = blade_screw, note
    section.save(update_fields=["name", "holds_blade", "blade_screw", "note"])
    record("section_changed", section.hilt.about, by, now, section=name)
    remember(token, f"section:{section.pk}", by, now)
    return section


@transaction.atomic
def move_section(
    section_id: int, *, to: int, seen: str, token: UUID, by: User, now: datetime
) -> Section:
    """Put a section to another place; 1 is the blade's end."""
    section = _locked_section(section_id)
    if made_before(token):
        return section
    if section_mark(section) != seen:
        raise Overtaken(section.hilt.about)
    order = [each for each in _sections(section.hilt) if each.pk != section.pk]
    order.insert(min(max(to, 1), len(order) + 1) - 1, section)
    _renumber(order)
    record("section_moved", section.hilt.about, by, now, section=section.name, place=to)
    remember(token, f"section:{section.pk}", by, now)
    section.refresh_from_db()
    return section


@transaction.atomic
def end_section(section_id: int, *, token: UUID, by: User, now: datetime) -> Section:
    """Take a section off the hilt, with its joint and its holes; its measurements stay."""
    section = _locked_section(section_id)
    if section.ended_at or made_before(token):
        return section
    section.ended_at = now
    section.save(update_fields=["ended_at"])
    section.joints.filter(ended_at=None).update(ended_at=now)
    section.holes.filter(ended_at=None).update(ended_at=now)
    _renumber(_sections(section.hilt))
    record("section_ended", section.hilt.about, by, now, section=section.name)
    remember(token, f"section:{section.pk}", by, now)
    return section


@transaction.atomic
def set_joint(
    section_id: int,
    *,
    kind: str,
    stuck: bool,
    note: str,
    seen: str,
    token: UUID,
    by: User,
    now: datetime,
) -> Joint:
    """Say what holds a section to the one behind it. Another kind is another joint.

    :param seen: the mark of the joint that the person saw.
    :raises Refused: the section stands last, so there is nothing behind it.
    """
    section = _locked_section(section_id)
    if made := made_before(token):
        return Joint.objects.get(pk=made)
    _ask_on_the_hilt(section)
    joint = section.joints.filter(ended_at=None).first()
    if joint_mark(joint) != seen:
        raise Overtaken(section.hilt.about)
    if section.position == len(_sections(section.hilt)):
        raise Refused(_("Nothing stands behind %(section)s.") % {"section": section.name})
    if joint and joint.kind != kind:
        joint.ended_at = now
        joint.save(update_fields=["ended_at"])
        joint = None
    joint = joint or Joint(section=section, kind=kind)
    joint.stuck, joint.note = stuck, note
    joint.save()
    where = section.name
    record("joint_noted", section.hilt.about, by, now, section=where, joint=kind, stuck=stuck)
    remember(token, f"joint:{joint.pk}", by, now)
    return joint


@transaction.atomic
def mark_stuck(joint: Joint, stuck: bool, *, by: User, now: datetime) -> Joint:
    """Say that a joint is stuck, or came loose; nothing where it stands so already."""
    locked(joint.section.hilt_id)
    joint.refresh_from_db()
    if joint.stuck != stuck:
        joint.stuck = stuck
        joint.save(update_fields=["stuck"])
        section = joint.section
        facts = {"section": section.name, "joint": joint.kind, "stuck": stuck}
        record("joint_noted", section.hilt.about, by, now, **facts)
    return joint


@transaction.atomic
def add_hole(
    section_id: int, *, what: str, note: str, token: UUID, by: User, now: datetime
) -> Hole:
    """Write down a hole in a section's wall."""
    section = _locked_section(section_id)
    if made := made_before(token):
        return Hole.objects.get(pk=made)
    _ask_on_the_hilt(section)
    hole = section.holes.create(what=what, note=note)
    record("hole_added", section.hilt.about, by, now, section=section.name, hole=what)
    remember(token, f"hole:{hole.pk}", by, now)
    return hole


@transaction.atomic
def end_hole(hole_id: int, *, by: User, now: datetime) -> Hole:
    """Take a hole off again, as one written down by mistake. Twice is once."""
    hole = Hole.objects.select_related("section__hilt").get(pk=hole_id)
    locked(hole.section.hilt_id)
    hole.refresh_from_db(fields=["ended_at"])
    if hole.ended_at is None:
        hole.ended_at = now
        hole.save(update_fields=["ended_at"])
        where = hole.section.name
        record("hole_ended", hole.section.hilt.about, by, now, section=where, hole=hole.what)
    return hole


def _locked_section(section_id: int) -> Section:
    found = Section.objects.values_list("hilt", flat=True).get(pk=section_id)
    locked(found)
    return Section.objects.select_related("hilt").get(pk=section_id)


def _sections(hilt: Hilt) -> list[Section]:
    return list(hilt.sections.filter(ended_at=None).order_by("position"))


def _ask_on_the_hilt(section: Section) -> None:
    if section.ended_at:
        raise Refused(_("This section is off the hilt by now."))


def _ask_for_the_socket(order: list[Section]) -> None:
    holder = next((each for each in order if each.holds_blade), None)
    if holder:
        raise Refused(
            _("The blade's socket is in %(section)s already. Untick it there first.")
            % {"section": holder.name}
        )


def _renumber(order: list[Section]) -> None:
    for aside in (_ASIDE, 0):
        for place, section in enumerate(order, start=1):
            Section.objects.filter(pk=section.pk).update(position=place + aside)
