"""Takes sound sets in and changes what is known of them. What came stays as it came."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, cast
from uuid import UUID

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.utils.translation import gettext as _

from builds.progress.states import STAGES
from builds.sounds.audit.archives import (
    MB,
    MOST_OF_ONE,
    ArchiveRefused,
    Member,
    check_many,
    checked_path,
    is_litter,
    members,
)
from builds.sounds.audit.naming import SORT_CODES, sort_of
from builds.sounds.audit_words.archives import said
from builds.sounds.models import SoundFile, SoundSet
from builds.sounds.refusals import Overtaken, Refused
from builds.sounds.states import Licence, SetState
from shop.files.actions import Refused as FileRefused
from shop.files.actions import keep_file
from shop.files.models import Blob
from shop.history.actions import record
from shop.history.queries import last_about
from shop.people.models import Customer, User
from shop.web.wake import wake

__all__ = [
    "Came", "Refused", "SetFacts", "bring", "change_set", "end_set", "keep_set", "look_again",
    "seen_of", "sort_files",
]  # fmt: skip

MOST_OF_ARCHIVE = 300 * MB
LOOK = "builds.sounds.tasks.look"
Upload = UploadedFile


@dataclass(frozen=True)
class SetFacts:
    """What is said of a set as it comes."""

    name: str
    licence: str
    customer: Customer | None = None
    words: str = ""


@dataclass(frozen=True)
class Came:
    """A file that came, by the path that it has in its set."""

    path: str
    upload: Upload


def bring(
    came: Sequence[Came], facts: SetFacts, *, token: UUID, by: User | None, now: datetime
) -> SoundSet:
    """Keep what came as a set, once for one token: one zip, or the files themselves.

    Not to be called inside a transaction: the bytes are kept first.

    :raises Refused: it is not taken; the sentence says why.
    """
    if known := SoundSet.objects.filter(token=token).first():
        return known
    try:
        if len(came) == 1 and came[0].path.lower().endswith(".zip"):
            return _bring_archive(came[0].upload, facts, token, by, now)
        return _bring_files(came, facts, token, by, now)
    except ArchiveRefused as error:
        raise Refused(said(error)) from error
    except FileRefused as error:
        raise Refused(str(error)) from error


def _bring_archive(
    upload: Upload, facts: SetFacts, token: UUID, by: User | None, now: datetime
) -> SoundSet:
    held = members(cast(Any, upload.file))
    upload.seek(0)
    blob = keep_file(upload, "application/zip", now, at_most=MOST_OF_ARCHIVE)
    return keep_set(facts, held, {}, token=token, by=by, now=now, archive=blob)


def _bring_files(
    came: Sequence[Came], facts: SetFacts, token: UUID, by: User | None, now: datetime
) -> SoundSet:
    kept = [each for each in came if not is_litter(each.path)]
    held = [Member(checked_path(each.path), each.upload.size or 0, 0) for each in kept]
    check_many({each.path: each.size for each in held}, [each.path for each in held])
    blobs: dict[str, Blob] = {}
    for member, each in zip(held, kept, strict=True):
        if member.size:
            blobs[member.path] = keep_file(
                each.upload, "application/octet-stream", now, at_most=MOST_OF_ONE
            )
    return keep_set(facts, held, blobs, token=token, by=by, now=now)


@transaction.atomic
def keep_set(
    facts: SetFacts,
    held: Sequence[Member],
    blobs: Mapping[str, Blob],
    *,
    token: UUID,
    by: User | None,
    now: datetime,
    archive: Blob | None = None,
) -> SoundSet:
    """Write a set down whose bytes are kept already, once for one token."""
    made, is_new = SoundSet.objects.get_or_create(
        token=token,
        defaults={
            "name": facts.name,
            "licence": facts.licence,
            "customer": facts.customer if facts.licence == Licence.ONE_BUYER else None,
            "licence_words": facts.words,
            "archive": archive,
            "total": len(held),
            "added_at": now,
            "added_by": by,
        },
    )
    if is_new:
        SoundFile.objects.bulk_create(
            SoundFile(
                sound_set=made, path=each.path, size=each.size, place=each.index,
                blob=blobs.get(each.path), sort=sort_of(each.path),
            )
            for each in held
        )  # fmt: skip
        record("sound_set_came", made.about, by, now, name=made.name, count=len(held))
        wake(LOOK, made.pk)
    return made


def seen_of(sound_set: SoundSet) -> str:
    """What a form carries of a set, to notice another tablet."""
    last = last_about(sound_set.about)
    return str(last.pk if last else 0)


@transaction.atomic
def change_set(set_id: int, facts: SetFacts, *, seen: str, by: User, now: datetime) -> None:
    """Say anew what a set is called and for whose builds it may be used.

    :raises Overtaken: another tablet changed it.
    :raises Refused: it stands on the card of somebody who then may not use it.
    """
    held = _locked(set_id, seen)
    customer = facts.customer if facts.licence == Licence.ONE_BUYER else None
    if customer and _others_cards(held, customer):
        raise Refused(
            _("It stands on another customer’s card. Take it off there first: %(builds)s.")
            % {"builds": ", ".join(_others_cards(held, customer))}
        )
    held.name, held.licence, held.customer = facts.name, facts.licence, customer
    held.licence_words = facts.words
    held.save(update_fields=["name", "name_folded", "licence", "customer", "licence_words"])
    # A copy is the same sounds: what holds for the set holds for it.
    held.copies.update(licence=held.licence, customer=customer, licence_words=facts.words)
    record("sound_set_changed", held.about, by, now, name=held.name, licence=held.licence)


def _others_cards(held: SoundSet, customer: Customer) -> list[str]:
    sets = [held.pk, *held.copies.values_list("pk", flat=True)]
    slots = held.slots.model._default_manager.filter(sound_set__in=sets, ended_at=None)
    others = slots.exclude(build__item__order__customer=customer).select_related("build")
    return sorted({str(slot.build) for slot in others})


@transaction.atomic
def end_set(set_id: int, *, seen: str, by: User, now: datetime) -> None:
    """Offer a set no more; it stays where it is used and can still be looked at.

    :raises Overtaken: another tablet changed it.
    :raises Refused: it stands on the card of a build that is still here.
    """
    held = _locked(set_id, seen)
    open_slots = held.slots.filter(ended_at=None, build__state__in=STAGES)
    numbers = sorted({str(slot.build) for slot in open_slots.select_related("build")})
    if numbers:
        raise Refused(
            _("It stands on the card of %(builds)s. Take it off there first.")
            % {"builds": ", ".join(numbers)}
        )
    held.ended_at = now
    held.save(update_fields=["ended_at"])
    record("sound_set_ended", held.about, by, now, name=held.name)


@transaction.atomic
def sort_files(set_id: int, file_ids: Sequence[int], sort: str, *, by: User, now: datetime) -> int:
    """Say of what sort some files of a set are; how many were of another."""
    if sort not in SORT_CODES:
        raise Refused(_("There is no such sort."))
    held = SoundSet.objects.select_for_update().get(pk=set_id)
    count = held.files.filter(pk__in=list(file_ids)).exclude(sort=sort).update(sort=sort)
    if count:
        record("sound_files_sorted", held.about, by, now, count=count)
    return count


@transaction.atomic
def look_again(set_id: int, *, by: User, now: datetime) -> None:
    """Let the worker look at a set anew that it could not read."""
    held = SoundSet.objects.select_for_update().get(pk=set_id)
    held.files.filter(facts__unread="gave-up").update(looked_at=None, tries=0)
    held.files.filter(looked_at=None).update(tries=0)
    held.state, held.problem, held.tries = SetState.KEPT, "", 0
    held.save(update_fields=["state", "problem", "tries"])
    record("sound_set_again", held.about, by, now)
    wake(LOOK, held.pk)


def _locked(set_id: int, seen: str) -> SoundSet:
    held = SoundSet.objects.select_for_update().get(pk=set_id)
    if seen_of(held) != seen:
        raise Overtaken(held.about)
    return held
