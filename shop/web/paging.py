"""Cuts long lists into pages."""

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet
from django.http import HttpRequest

A_PAGE = 25


def cut(request: HttpRequest, rows: QuerySet) -> Page:
    """The page of a list that was asked for, read already; a page that is not there is the last."""
    page = Paginator(rows, A_PAGE).get_page(request.GET.get("page"))
    page.object_list = list(page.object_list)
    return page
