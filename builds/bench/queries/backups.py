"""What the owner hears of back-ups on Today: failed, old, not copied, none yet."""

from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.bench.queries.today import Want
from shop.keeping.queries import Standing, standing
from shop.web.dated import dated


def backup_wants(now: datetime, has_work: bool) -> list[Want]:
    """At most one thing on back-ups; none where a good one is young."""
    found = standing(now)
    if found.failed:
        return [_want(_("The last back-up failed"), found.failed.problem_said, "stop")]
    if found.newest and found.is_old:
        return [_want(_("The newest back-up is old"), _since(found), "stop")]
    if found.newest and found.newest.second_problem:
        what = _("The last back-up was not copied to the second folder")
        return [_want(what, found.newest.second_said, "stop")]
    if has_work and not found.newest and found.is_old:
        why = _("what is in here is nowhere else")
        return [_want(_("No back-up yet"), why, "brass")]
    return []


def _since(found: Standing) -> str:
    made = found.newest.done_at if found.newest else None
    return _("made %s") % dated(made, "short") if made else ""


def _want(what: str, why: str, tone: str) -> Want:
    return Want(what, why, reverse("keeping_backups"), _("Look at it"), tone)
