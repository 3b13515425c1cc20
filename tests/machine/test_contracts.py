"""Doors between rooms: what the import linter's own contracts cannot say."""

from pathlib import Path

import grimp
import pytest

REPOSITORY = Path(__file__).resolve().parent.parent.parent
DOORS = {"actions", "queries", "models", "states"}
# More that a room shows to others, each with its reason.
MORE_DOORS = {
    "shop.people.devices",  # who tries, for the throttle of any page that counts tries
    "shop.people.factors",  # deeds on the second step of a sign-in
    "shop.people.speech",  # in whose language a customer is written to
    "shop.people.sessions",  # deeds on sessions
    "builds.dispatch.pasted",  # what a pasted line may mean: values and how they are read
    "builds.gates.conditions",  # the values that a gate answers with
    "builds.progress.quoting",  # deeds on quotes, with what they hold and tell
    "builds.progress.linking",  # how long an order's private link opens
    "builds.progress.worked",  # queries of the time worked
    "builds.progress.places",  # actions on places and trays
    "builds.queue.wording",  # what the placeholders of any message about a build stand for
    "builds.sounds.words",  # what a colour is called, beside every swatch
    "shop.diary.calendar",  # the type of the calendar that queries hand out
    "shop.diary.forecast",  # the sum of dates: values in, values out
    "shop.diary.learned",  # hours as a shop's past teaches them: the same
    "shop.diary.spans",  # hours and days as the forecast takes them: the same
    "shop.diary.holidays",  # which holidays are known: a question like any query
    "shop.files.pieces",  # actions on a large file that comes in pieces
    "shop.house.speech",  # in whose language a message or a paper is made
    "shop.house.world",  # countries, currencies and zones: the same
    "shop.keeping.plain",  # how rows are written out: values in, values out
    "shop.orders.enquiries",  # actions on what comes before an order
    "shop.stores.kinds",  # kinds of parts, and how they are counted
    "shop.stores.forms",  # fields for parts and their figures, on the pages of a build too
    "shop.stores.units",  # how lengths and amounts are typed and shown
    "shop.stores.specs",  # what a part is described by, of a customer's own too
    "shop.post.links",  # the sums of secret addresses: values in, values out
    "shop.post.wording",  # the values of a wording, as pages edit them
}
# Rooms without pages of their own leave the showing of their forms to these.
SHOW_FORMS = {"builds.desk"}
EVERYONES = {"shop.web", "builds.engineering"}  # the toolbox of all pages, the sums


def _rooms() -> set[str]:
    inner = {"migrations", "management", "templatetags", "__pycache__", "demo"}
    folders = (path for app in ("shop", "builds") for path in (REPOSITORY / app).iterdir())
    return {
        f"{path.parent.name}.{path.name}"
        for path in folders
        if path.is_dir() and path.name not in inner
    }


def side_doors(graph: grimp.ImportGraph, rooms: set[str]) -> set[str]:
    """Imports that enter another room by anything but one of its doors."""
    found = set()
    for module in graph.modules:
        here = ".".join(module.split(".")[:2])
        for other in graph.find_modules_directly_imported_by(module):
            there = ".".join(other.split(".")[:2])
            away = here in rooms and there in rooms - EVERYONES - {here}
            if away and not _is_door(other, here):
                found.add(f"{module} imports {other}")
    return found


def _is_door(module: str, here: str) -> bool:
    name = "".join(module.split(".")[2:3])
    shown = name == "forms" and here in SHOW_FORMS
    return name in DOORS or shown or ".".join(module.split(".")[:3]) in MORE_DOORS


@pytest.fixture(scope="module")
def graph() -> grimp.ImportGraph:
    return grimp.build_graph("shop", "builds", cache_dir=None)


def test_rooms_are_entered_by_their_doors(graph: grimp.ImportGraph) -> None:
    assert side_doors(graph, _rooms()) == set()


def test_a_side_door_is_noticed() -> None:
    graph = grimp.ImportGraph()
    graph.add_import(importer="builds.bench.views", imported="shop.people.forms")
    graph.add_import(importer="builds.bench.views", imported="shop.people.queries")
    graph.add_import(importer="builds.bench.views", imported="shop.people")
    rooms = {"builds.bench", "shop.people"}
    assert side_doors(graph, rooms) == {
        "builds.bench.views imports shop.people.forms",
        "builds.bench.views imports shop.people",
    }


@pytest.mark.parametrize("door", sorted(MORE_DOORS))
def test_each_further_door_is_in_use(graph: grimp.ImportGraph, door: str) -> None:
    room = door.rpartition(".")[0]
    doors = {door, *graph.find_descendants(door)}
    users = (user for each in doors for user in graph.find_modules_that_directly_import(each))
    assert any(not user.startswith(f"{room}.") for user in users)


def test_bootstrap_needs_the_standard_library_alone(graph: grimp.ImportGraph) -> None:
    assert graph.find_modules_directly_imported_by("shop.bootstrap") == {"shop.commands"}
