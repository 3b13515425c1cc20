"""Cuts long lists into pages."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Any

from django.core.paginator import Page, Paginator
from django.db.models import Prefetch, Q, QuerySet, prefetch_related_objects
from django.http import HttpRequest

A_PAGE = 25


@dataclass(frozen=True)
class OneAfterTheOther:
    """The rows of one query, then those of the next, as one list.

    Each goes by an index of its own, where one query over both would sort all that was ever kept.
    """

    queries: Sequence[QuerySet]
    along: Prefetch  # what is read along with the rows, of all of them at once

    def __len__(self) -> int:
        return sum(query.count() for query in self.queries)

    def __iter__(self) -> Iterator[Any]:
        return iter(self._with_more(chain(*self.queries)))

    def __getitem__(self, piece: slice, /) -> list[Any]:
        # As many questions whichever of them the piece lies in.
        keys = (query.values_list("pk", flat=True)[: piece.stop] for query in self.queries)
        wanted = list(chain(*keys))[piece]
        return self._with_more(chain(*(query.filter(pk__in=wanted) for query in self.queries)))

    def _with_more(self, rows: Iterable[Any]) -> list[Any]:
        found = list(rows)
        prefetch_related_objects(found, self.along)
        return found


@dataclass(frozen=True)
class NewestOfSeveral:
    """Rows of several kinds as one list, the newest first.

    Each kind is read by its index as far as the piece reaches, and only keys of it.
    """

    rows: QuerySet  # ordered by the moment, then by the key, both from the last
    kinds: Sequence[Q]
    moment: str

    def __len__(self) -> int:
        return sum(self.rows.filter(kind).count() for kind in self.kinds)

    def __iter__(self) -> Iterator[Any]:
        return iter(self[: len(self)])

    def __getitem__(self, piece: slice, /) -> list[Any]:
        keys = self.rows.prefetch_related(None).values_list(self.moment, "pk")
        heads = [keys.filter(kind)[: piece.stop] for kind in self.kinds]
        wanted = sorted(chain(*heads), reverse=True)[piece]
        return list(self.rows.filter(pk__in=[pk for _moment, pk in wanted]))


def cut(request: HttpRequest, rows: QuerySet | OneAfterTheOther | NewestOfSeveral) -> Page:
    """The page of a list that was asked for, read already; a page that is not there is the last."""
    pages: Paginator[Any] = Paginator(rows, A_PAGE)  # type: ignore[arg-type]  # it asks for slices
    page = pages.get_page(request.GET.get("page"))
    page.object_list = list(page.object_list)
    return page
