"""The sheet of a run on paper: every reading with its instrument and tester, as PDF."""

from typing import Any

from django.utils.timezone import localtime
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from builds.progress.models import Build
from builds.proving.models import Reading
from builds.proving.queries.page import limit_words
from builds.proving.queries.standing import Standing, Stands
from builds.proving.states import Verdict
from shop.house.models import House
from shop.web.dated import dated
from shop.web.paper import pdf


def sheet_pdf(build: Build, found: Standing, house: House) -> bytes:
    """The paper of one run."""
    return pdf("proof", _data(build, found, house), house.sheet)


def _data(build: Build, found: Standing, house: House) -> dict[str, Any]:
    run = found.run
    return {
        "lang": (get_language() or "en").split("-")[0],
        "title": _("Bench test"),
        "shop": house.name,
        "what": f"{build.hilt.name if build.hilt else _('Blade')}, {build}",
        "facts": [
            (_("Run"), f"{run.number}, {run.get_sheet_display()}"),
            (_("Begun"), f"{run.begun_by.name}, {_moment(run.begun_at)}"),
            (_("Stands"), _stands(found)),
        ],
        "heads": [_("Test"), _("Limit"), _("Reading"), _("Verdict"), _("Instrument, tester")],
        "rows": [_row(each) for each in found.lines],
        "foot": _("Limits are the shop’s own starting values unless a source is named."),
    }


def _moment(when: Any) -> str:
    return dated(localtime(when), "brief moment")


def _stands(found: Standing) -> str:
    if found.is_passed:
        return _("passed")
    facts = {"read": found.read, "all": len(found.lines), "failed": len(found.failed)}
    return _("%(read)s of %(all)s read, %(failed)s failed") % facts


def _row(each: Stands) -> dict[str, Any]:
    line = each.line
    readings = [_reading(reading) for reading in each.readings]
    if each.let_by:
        said = [each.let_by.reason, _("let by"), each.let_by.by.name, Verdict.TELL]
        readings = [said, *readings]
    return {
        "name": line.name,
        "limit": limit_words(line),
        "because": line.because or str(line.get_mark_display()),
        "readings": readings or [["", "", "", ""]],
    }


def _reading(reading: Reading) -> list[str]:
    with_what = [reading.instrument.name] if reading.instrument else []
    who = ", ".join([*with_what, reading.by.name, _moment(reading.at)])
    if reading.rework:
        facts = {"cause": reading.rework.cause, "minutes": reading.rework.minutes}
        who += "; " + _("re-test after: %(cause)s, %(minutes)s min") % facts
    return [reading.as_typed, str(reading.get_verdict_display()), who, reading.verdict]
