"""Imports as lists and pages show them."""

from django.db.models import QuerySet

from builds.importing.models import Finding, Import
from builds.importing.states import IN_THE_BOOKS, State


def imports() -> QuerySet[Import]:
    """Every import that was not given up, the newest first."""
    rows = Import.objects.exclude(state=State.DROPPED)
    return rows.select_related("by", "kept_by", "undone_by").order_by("-made_at", "-pk")


def remembered(kind: str, header_key: str) -> Import | None:
    """The newest sheet of a kind with the same headings that a person has matched."""
    rows = Import.objects.filter(kind=kind, header_key=header_key, is_guessed=False)
    return rows.order_by("-state_since", "-pk").first()


def same_file(one: Import) -> Import | None:
    """Another import of the very same bytes as the same kind that stands in the books."""
    rows = Import.objects.filter(kind=one.kind, sha256=one.sha256, state__in=IN_THE_BOOKS)
    rows = rows.exclude(pk=one.pk).select_related("kept_by")
    return rows.order_by("-kept_at", "-pk").first()


def findings(one: Import) -> QuerySet[Finding]:
    """What the dry run found: problems first, row by row."""
    return one.findings.order_by("-stops", "row", "column", "pk")
