"""Withdraws exports: somebody whom they hold is to be forgotten."""

from datetime import datetime

from django.db import transaction

from shop.keeping.models import Export
from shop.keeping.queries import export_file


def withdraw_exports(now: datetime) -> None:
    """Hand out none that was begun before now; its file goes as soon as that is certain.

    One that only waits is written afterwards, of what is left.
    """
    begun = Export.objects.filter(begun_at__isnull=False, gone_at=None)
    gone = list(begun.select_for_update())
    begun.filter(pk__in=[each.pk for each in gone]).update(gone_at=now)
    transaction.on_commit(lambda: _take_away(gone))


def _take_away(exports: list[Export]) -> None:
    for each in exports:
        export_file(each).unlink(missing_ok=True)
