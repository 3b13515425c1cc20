"""Measures a page against a bare page, or a sum against the least that it needs, in one run."""

from argparse import ArgumentParser
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from statistics import median
from time import perf_counter
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import connection, transaction
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.template import Context, Template
from django.test import Client, override_settings
from django.test.utils import CaptureQueriesContext
from django.urls import path, reverse

from builds.management import forecast_speed, load, rendition, rounds, synced, two_shops
from builds.models import Build
from shop import env
from shop.models import User
from shop.urls import urlpatterns as pages

ROUNDS = 40
_BARE = Template("<!doctype html><title>{{ title }}</title><h1>{{ title }}</h1>")


def bare(request: HttpRequest) -> HttpResponse:
    """A page that reads nothing and says one word; all middleware stands before it."""
    return HttpResponse(_BARE.render(Context({"title": "Bare"})))


urlpatterns = [path("measure-bare/", bare, name="measure_bare"), *pages]


@dataclass(frozen=True)
class Measured:
    """Median seconds of a page and of the bare one, and what the page asked of the database."""

    what: str
    page_s: float
    bare_s: float
    queries: int

    @property
    def ratio(self) -> float:
        """How many bare pages the page costs."""
        return self.page_s / self.bare_s


def fit(client: Client) -> Measured:
    """The fit page of the hilt with the most sections and parts."""
    sections = Count("hilt__sections", filter=Q(hilt__sections__ended_at=None), distinct=True)
    parts = Count("parts", filter=Q(parts__ended_at=None), distinct=True)
    largest = Build.objects.exclude(hilt=None).annotate(size=sections + parts).order_by("-size")
    build = largest.select_related("hilt").first()
    if build is None:
        raise CommandError("There is no build with a hilt to measure. Try it on the demo shop.")
    what = f"fit page of {build} {build.hilt}, {build.size} sections and parts"
    return _beside_the_bare(client, what, reverse("fitting_fit", args=[build.number]))


# Name → what is measured; a new one wants a line here.
MEASURES: dict[str, Callable[[Client], Measured]] = {"fit": fit}
# The same for sums, which need no shop; each gives lines to print.
SUMS: dict[str, Callable[[], Iterator[str]]] = {
    "forecast": forecast_speed.forecast,
    "rendition": rendition.rendition,
}

# The same for two filled shops, by their data folders.
BESIDE: dict[str, Callable[[str, str], Iterator[str]]] = {
    "queries": two_shops.queries,
    "years": two_shops.years,
}
# The same for a real start of this shop; the load writes to it, so take a copy.
SERVED: dict[str, Callable[[str, int], Iterator[str]]] = {
    "load": load.load,
    "memory": load.at_rest,
    "fsync": synced.fsync,
}
ROUNDS_OF = "rounds"  # answers what a measure of two shops asks of one


def _beside_the_bare(client: Client, what: str, address: str) -> Measured:
    """Both in turn, so that whatever else the machine does falls on both."""
    plain = reverse("measure_bare")
    for each in (address, plain):  # what is compiled once is compiled before
        _seconds(client, each)
    took = [(_seconds(client, address), _seconds(client, plain)) for _round in range(ROUNDS)]
    with CaptureQueriesContext(connection) as asked:
        client.get(address)
    return Measured(
        what, median(page for page, _bare in took), median(bare for _page, bare in took), len(asked)
    )


def _seconds(client: Client, address: str) -> float:
    begun = perf_counter()
    answer = client.get(address)
    took = perf_counter() - begun
    if answer.status_code != 200:
        raise CommandError(f"{address} answered {answer.status_code}.")
    return took


class Command(BaseCommand):
    """`manage.py measure fit`, `manage.py measure queries --young FOLDER --old FOLDER`."""

    help = "Measure a page against a bare page, or a sum against a bare one; nothing is kept."

    def add_arguments(self, parser: ArgumentParser) -> None:
        every = sorted({*MEASURES, *SUMS, *BESIDE, ROUNDS_OF, *SERVED})
        parser.add_argument("what", choices=every, help="what to measure")
        parser.add_argument("--young", help="data folder of a shop with few builds")
        parser.add_argument("--old", help="data folder of a shop with many; else this shop")
        parser.add_argument("--port", type=int, default=8799, help="where the load is served")

    def handle(
        self, *args: Any, what: str, young: str | None, old: str | None, port: int, **options: Any
    ) -> None:
        if what == ROUNDS_OF:
            rounds.main()
        elif what in SERVED:
            self._say(SERVED[what](str(env.data_dir()), port))
        elif what in BESIDE:
            if young is None:
                raise CommandError("Say which shop is the young one: --young FOLDER.")
            self._say(BESIDE[what](young, old or str(env.data_dir())))
        elif what in SUMS:
            self._say(SUMS[what]())
        else:
            self._measure_page(what)

    def _say(self, lines: Iterator[str]) -> None:
        for line in lines:
            self.stdout.write(line)
            self.stdout.flush()

    def _measure_page(self, what: str) -> None:
        owner = User.objects.filter(role="owner", is_active=True).first()
        if owner is None:
            raise CommandError("The shop is not set up. Try it on the demo shop.")
        with override_settings(ROOT_URLCONF=__name__, ALLOWED_HOSTS=["*"]), transaction.atomic():
            client = Client(SERVER_NAME="localhost")
            client.force_login(owner)
            found = MEASURES[what](client)
            transaction.set_rollback(True)  # the sign-in is not kept
        self.stdout.write(f"{found.what}: {found.queries} queries")
        self.stdout.write(
            f"median of {ROUNDS}: {found.page_s * 1000:.1f} ms, bare page "
            f"{found.bare_s * 1000:.1f} ms, ratio {found.ratio:.1f}"
        )
