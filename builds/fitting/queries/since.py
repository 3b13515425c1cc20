"""What the sums say of a build otherwise than they did as it left teardown."""

from collections.abc import Iterable, Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from builds.engineering.findings import Level
from builds.fitting.loads import Judged
from builds.fitting.power_words import numbers
from builds.fitting.queries.findings import POWER, Found, Said, findings_of
from builds.progress.models import Build
from builds.progress.states import Kind, State
from shop.house.queries import house

_LATER = frozenset({State.INSTALL, State.TEST})
_JUDGED = frozenset({Kind.FULL, Kind.UPGRADE})
_WEIGHTY = frozenset({Level.STOPS, Level.DECIDE})


def changed_since(build: Build) -> list[str]:
    """What is otherwise, in a few words each; nothing where nothing was kept, or is the same."""
    if build.state not in _LATER or build.kind not in _JUDGED:
        return []
    found = findings_of([build], house())[build.pk]
    if found.plan is None or found.plan.frozen_at is None:
        return []
    then = found.plan.power or {}
    return [*_figures(then, found.judged), *_found(found.plan.fit, then, found)]


def _figures(then: Mapping[str, Any], now: Judged) -> Iterable[str]:
    """Cap, cell and the most that is drawn."""
    caps = _percent(then.get("cap")), _percent(now.wants.cap)
    if caps[0] != caps[1]:
        yield _("cap %(then)s → %(now)s %%") % _pair(*caps)
    cells = then.get("cell"), now.cored.cell.name if now.cored else None
    if cells[0] != cells[1]:
        yield _("cell %(then)s → %(now)s") % _pair(
            *(cell or pgettext("a cell", "none") for cell in cells)
        )
    drawn = _most(then), now.own.worst_a if now.own else None
    if _shown(drawn[0]) != _shown(drawn[1]):
        yield _("at most %(then)s → %(now)s") % _pair(*(_shown(most) for most in drawn))


def _percent(share: float | None) -> str:
    return "?" if share is None else str(round(share * 100))


def _most(then: Mapping[str, Any]) -> float | None:
    case = then.get("cases", {}).get(then.get("worst"))
    return case["worst_a"] if case else None


def _shown(ampere: float | None) -> str:
    return _("not reckoned") if ampere is None else numbers.current(ampere)


def _pair(then: str, now: str) -> dict[str, str]:
    return {"then": then, "now": now}


def _found(fit: Mapping[str, Any] | None, power: Mapping[str, Any], now: Found) -> Iterable[str]:
    """What was found that was not, and what is lacking that was not."""
    known = {_key(each) for kept in (fit or {}, power) for each in kept.get("findings", [])}
    for said in now.said:
        if said.level in _WEIGHTY and _mark(said) not in known:
            short = said.text.partition(". ")[0].rstrip(".")  # its page says the whole
            yield short.partition(": ")[0] if said.page == POWER else short
    lacked = {tuple(each) for each in power.get("missing", [])}
    for lack, words in zip(now.judged.lacks, now.missing, strict=True):
        if lack.blocks and (lack.code, lack.about) not in lacked:
            yield words.text.rstrip(".")


def _key(kept: Mapping[str, Any]) -> tuple[str, str, str]:
    return kept["level"], kept["code"], kept["about"]


def _mark(said: Said) -> tuple[str, str, str]:
    return str(said.level), said.code, said.about
