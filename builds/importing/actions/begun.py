"""A sheet on its way: uploaded, read another way, its columns matched, given up."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from builds.importing.actions.refused import Overtaken, Refused
from builds.importing.columns import guess, header_key
from builds.importing.models import Import
from builds.importing.queries.files import content_of
from builds.importing.queries.found import remembered
from builds.importing.sheets import Look, Reading, look, text_of, top
from builds.importing.states import OPEN, State
from shop.files.actions import keep_document, let_go
from shop.files.models import Blob
from shop.history.actions import record
from shop.house.queries import house
from shop.people.models import User
from shop.web.wake import wake

TASK = "builds.importing.tasks.go_on"
_TEXT, _BOOK = "text/csv", "application/zip"  # of a workbook, its container


def begin(
    content: bytes, file_name: str, kind: str, *, token: UUID, by: User, now: datetime
) -> Import:
    """Take a file in and look at it. The same token twice is one import.

    Not to be called inside a transaction: the file is written to the disk first.

    :raises NotReadable: with the one sentence that says why.
    """
    done = Import.objects.filter(token=token).first()
    if done:
        return done
    seen = look(content)
    blob = _keep(content, seen, now)
    one = Import(token=token, kind=kind, made_at=now, by=by, length_unit=house().length_unit)
    _take(one, blob, file_name, seen, content)
    one.state_since = now
    try:
        with transaction.atomic():
            one.save(force_insert=True)
            record("sheet_begun", one.about, by, now, kind=kind)
    except IntegrityError:
        return Import.objects.get(token=token)  # the second tap, at the same moment
    return one


def _keep(content: bytes, seen: Look, now: datetime) -> Blob:
    return keep_document(content, _TEXT if seen.reading.is_text else _BOOK, now)


def _take(one: Import, blob: Blob, file_name: str, seen: Look, content: bytes) -> None:
    one.blob, one.sha256, one.file_name = blob, blob.sha256, file_name[-120:]
    one.sheets = list(seen.sheets)
    _read_as(one, seen.reading, content)


def _read_as(one: Import, reading: Reading, content: bytes) -> None:
    """Take the headings of a way of reading; where they are others, match them anew."""
    rows = top(content, reading, reading.header_row)
    cells = next((row.cells for row in rows if row.number == reading.header_row), ())
    headers = [" ".join(text_of(cell).split())[:200] for cell in cells]
    one.encoding, one.delimiter = reading.encoding, reading.delimiter
    one.sheet, one.header_row = reading.sheet[:60], reading.header_row
    key = header_key(one.kind, headers)
    one.headers = headers
    if key != one.header_key:
        one.header_key = key
        _match_by_itself(one)


def _match_by_itself(one: Import) -> None:
    earlier = remembered(one.kind, one.header_key)
    if earlier:
        one.mapping, one.is_guessed = earlier.mapping, False
        one.decimals, one.day_order = earlier.decimals, earlier.day_order
        one.length_unit, one.doubles = earlier.length_unit, earlier.doubles
    else:
        guessed = guess(one.kind, one.headers)
        one.mapping = {name: {"column": column} for name, column in guessed.items()}
        one.is_guessed = True


@transaction.atomic
def read_another_way(import_id: int, reading: Reading, *, seen: str, now: datetime) -> Import:
    """Read the file with other choices: another sheet, separator, row of headings.

    :raises NotReadable: it cannot be read so.
    """
    one = open_import(import_id, seen)
    _read_as(one, reading, content_of(one))
    return move_to(one, State.MATCHING, now)


def match(
    import_id: int,
    mapping: Mapping[str, Mapping[str, Any]],
    choices: Mapping[str, str],
    *,
    seen: str,
    now: datetime,
) -> Import:
    """Keep which column is which, and have the sheet checked.

    :param choices: how sums, days and lengths are written, and what becomes of doubles.
    """
    with transaction.atomic():
        one = open_import(import_id, seen)
        one.mapping, one.is_guessed = dict(mapping), False
        for name, value in choices.items():
            setattr(one, name, value)
        return _to_check(one, now)


def _to_check(one: Import, now: datetime) -> Import:
    one.rows = one.rows_done = 0
    one.problem = ""
    move_to(one, State.CHECKING, now)
    wake(TASK, one.pk)
    return one


def take_corrected(
    import_id: int, content: bytes, file_name: str, *, seen: str, by: User, now: datetime
) -> Import:
    """Take the file anew, after it was corrected in the owner's own program.

    The matching stays where the headings are the same, and it is checked at once.
    """
    fresh = look(content)
    blob = _keep(content, fresh, now)
    try:
        one, old = _correct(import_id, content, file_name, fresh, blob, seen, by, now)
    except Overtaken:
        let_go(blob.pk)
        raise
    if old and old != blob.pk:
        let_go(old)
    return one


def _correct(
    import_id: int,
    content: bytes,
    file_name: str,
    fresh: Look,
    blob: Blob,
    seen: str,
    by: User,
    now: datetime,
) -> tuple[Import, int | None]:
    with transaction.atomic():
        one = open_import(import_id, seen)
        old, matched = one.blob_id, one.header_key if not one.is_guessed else ""
        fresh = replace(fresh, reading=_like_before(one, fresh))
        _take(one, blob, file_name, fresh, content)
        record("sheet_replaced", one.about, by, now)
        if matched and matched == one.header_key:
            _to_check(one, now)
        else:
            move_to(one, State.MATCHING, now)
    return one, old


def _like_before(one: Import, fresh: Look) -> Reading:
    """The sheet and the row of headings chosen before, where the new file has them still."""
    reading = fresh.reading
    if not reading.is_text and one.sheet in fresh.sheets:
        return replace(reading, sheet=one.sheet, header_row=one.header_row)
    return reading


@transaction.atomic
def drop(import_id: int, *, by: User, now: datetime) -> Import:
    """Give an import up before anything was brought in. Twice is once."""
    one = locked(import_id)
    if one.state == State.DROPPED:
        return one
    if one.state not in OPEN:
        raise Refused(_("It was brought in already. Take it back instead."))
    record("sheet_dropped", one.about, by, now)
    return end(one, State.DROPPED, now)


def end(one: Import, state: str, now: datetime) -> Import:
    """Bring an import to an end; what its file held of people is let go, the file after that."""
    one.findings.all().delete()
    blob, one.blob = one.blob_id, None
    move_to(one, state, now)
    if blob:
        transaction.on_commit(lambda: let_go(blob))
    return one


def locked(import_id: int) -> Import:
    """The import, its row locked until the transaction ends."""
    return Import.objects.select_for_update(of=("self",)).get(pk=import_id)


def open_import(import_id: int, seen: str) -> Import:
    """The import to be changed, locked.

    :param seen: its stamp as the page showed it.
    :raises Overtaken: another one has changed it since, or the worker has it.
    """
    one = locked(import_id)
    if one.state in OPEN and one.stamp == seen and not one.is_at_work:
        return one
    raise Overtaken(
        _("This sheet is now at “%(state)s”, so nothing was changed. Look at it as it stands.")
        % {"state": one.get_state_display()}
    )


def move_to(one: Import, state: str, now: datetime) -> Import:
    """Save an import in another state, free for whoever takes it up next."""
    one.state, one.state_since, one.claimed_at, one.tries = state, now, None, 0
    one.save()
    return one
