"""History in words: every verb and every code of the tree has its own."""

import ast
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.db import connection
from django.db.models import TextChoices
from django.test.utils import CaptureQueriesContext
from django.utils import translation

from builds.fitting.models import Chassis
from builds.gates.questions import LEAVING, STARTING
from builds.gates.unfinished import ENDING
from builds.handover.states import Covered, Pays
from builds.hilts.states import Basis, HoleFor, JointKind, MeasuredThing
from builds.intake.models import BoxState, CellResult, Grade, Went
from builds.progress.states import HoldReason, Kind, Leaves, Spent, State, Turn
from builds.sounds.states import KeptKind, Licence
from builds.teardown.models import Came, Inside, Means
from shop.history import words
from shop.history.actions import record
from shop.history.queries import entries_about
from shop.history.words import sentence
from shop.models import User
from shop.orders.models import AnswerKind, How, ItemKind
from shop.people.models import Role
from shop.post.models import Occasion
from shop.stores.kinds import PartKind
from shop.stores.specs import ratings

TABLES: list[tuple[dict[str, Any], type[TextChoices]]] = [
    (words.STATES, State),
    (words.KINDS, Kind),
    (words.SPENT_ON, Spent),
    (words.LEAVES, Leaves),
    (words.HOLD_REASONS, HoldReason),
    (words.TURNS, Turn),
    (words.BOXES, BoxState),
    (words.WENT, Went),
    (words.CELLS, CellResult),
    (words.GRADES, Grade),
    (words.JOINTS, JointKind),
    (words.HOLES, HoleFor),
    (words.BASES, Basis),
    (words.THINGS, MeasuredThing),
    (words.INSIDES, Inside),
    (words.MEANS, Means),
    (words.CAME, Came),
    (words.ITEMS, ItemKind),
    (words.ANSWERS, AnswerKind),
    (words.WAYS, How),
    (words.OCCASIONS, Occasion),
    (words.COVERED, Covered),
    (words.PAYS, Pays),
    (words.CHASSIS, Chassis),
    (words.ROLES, Role),
    (words.LICENCES, Licence),
    (words.CARD_KEPT, KeptKind),
]
NOT_PASSABLE = {
    "cell", "cell-aside", "stands", "parcel", "classed", "consents", "ceiling", "proved",
}  # fmt: skip


def _recorded(path: Path) -> Iterator[tuple[str, set[str] | None]]:
    """Each verb that a file records, with the names of its parameters (None: not to be seen)."""
    for function in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if not isinstance(function, ast.FunctionDef):
            continue
        for call in ast.walk(function):
            if isinstance(call, ast.Call) and getattr(call.func, "id", "") == "record":
                names = {keyword.arg for keyword in call.keywords}
                known = None if None in names else {str(name) for name in names}
                for verb in _verbs(call.args[0], function):
                    yield verb, known


def _verbs(first: ast.expr, function: ast.FunctionDef) -> Iterator[str]:
    if isinstance(first, ast.Name):
        for node in ast.walk(function):
            if isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") == first.id:
                yield from _verbs(node.value, function)
    for node in ast.walk(first):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


def _all_recorded() -> list[tuple[str, tuple[str, ...] | None]]:
    rooms = [settings.BASE_DIR / app for app in ("shop", "builds")]
    found = (each for room in rooms for path in room.rglob("*.py") for each in _recorded(path))
    once = {(verb, None if names is None else tuple(sorted(names))) for verb, names in found}
    return sorted(once, key=str)


def _names(template: str) -> set[str]:
    seen: set[str] = set()

    class Spy(dict[str, str]):
        def __missing__(self, name: str) -> str:
            seen.add(name)
            return ""

    str(template) % Spy()
    return seen


def test_every_verb_of_the_tree_has_words() -> None:
    recorded = {verb for verb, _names_of in _all_recorded()}
    assert {"moved", "undone", "passed", "photo_shared", "photo_unshared", "view_back"} <= recorded
    assert recorded - words.SENTENCES.keys() == set()


def test_no_words_are_kept_for_what_nobody_records() -> None:
    assert words.SENTENCES.keys() - {verb for verb, _names_of in _all_recorded()} == set()


def test_words_speak_only_of_what_is_recorded() -> None:
    for verb, names in _all_recorded():
        if names is not None:
            assert _names(words.SENTENCES[verb]) <= set(names), verb


@pytest.mark.parametrize(
    ("table", "choices"), TABLES, ids=lambda each: getattr(each, "__name__", "")
)
def test_codes_are_said_as_the_rooms_say_them(
    table: dict[str, Any], choices: type[TextChoices]
) -> None:
    assert {code: str(said) for code, said in table.items()} == {
        value: str(label) for value, label in choices.choices
    }


def test_figures_of_parts_are_said_as_the_stores_say_them() -> None:
    stated = {each.name: str(each.label) for kind in PartKind.values for each in ratings(kind)}
    assert {code: str(said) for code, said in words.FIGURES.items()} == stated


def test_every_condition_that_may_be_passed_has_words() -> None:
    questions = {
        question.__name__.removeprefix("_").removesuffix("_unfinished").removesuffix("_tried")
        for asked in (*STARTING.values(), *LEAVING.values(), ENDING)
        for question in asked
    }
    assert len(questions) == len(words.CONDITIONS) + len(NOT_PASSABLE)


@pytest.mark.parametrize(
    ("verb", "parameters", "said"),
    [
        (
            "moved",
            {"source": "intake", "to": "teardown", "reason": "", "caused_in": ""},
            "Moved from intake to teardown",
        ),
        (
            "moved",
            {"source": "test", "to": "install", "reason": "cold joint", "caused_in": "install"},
            "Moved from test to install: caused in install, cold joint",
        ),
        ("moved", {"source": "intake", "to": "teardown"}, "Moved from intake to teardown"),
        ("put", {"tray": "07", "place": "Shelf A"}, "Put elsewhere: tray 07, Shelf A"),
        ("put", {"tray": "", "place": ""}, "Put elsewhere"),
        ("promised", {"day": "2026-11-27"}, "Promised for Fri 27 Nov 2026"),
        ("cell_checked", {"result": "good", "millivolts": 3700},
         "Cell checked: cell out, wrap whole: 3.70\u202fV"),
        ("cell_checked", {"result": "none", "millivolts": None}, "Cell checked: no cell inside"),
        ("held", {"reason": "warranty", "turn": "shop", "before": "test"},
         "On hold: a warranty question (our turn): stops before test"),
        ("booked", {"kind": "warranty"}, "Booked: warranty"),
        ("answer_recorded", {"kind": "heat", "yes": False, "how": "chat"},
         "Answer kept, no: consent to heat (in a chat)"),
        ("belonging_noted", {"what": "100% wool sleeve", "quantity": 1},
         "In the box: 1 × 100% wool sleeve"),
        ("passed", {"code": "agreed", "stage": "booked", "reason": "he rang"},
         "Let by at booked: the yes to the job: he rang"),
        ("moved", {"source": "limbo", "to": "test"}, "Moved from limbo to test"),
        ("of_a_later_version", {"x": 1}, "of_a_later_version"),
    ],
)  # fmt: skip
def test_deed_in_words(verb: str, parameters: dict[str, Any], said: str) -> None:
    with translation.override("en-gb"):
        assert sentence(verb, parameters) == said


@pytest.mark.django_db
def test_entries_come_newest_first_with_names_in_one_query(owner: User, now: datetime) -> None:
    for number in range(5):
        record("trays_added", "house:1", owner, now, first=number, last=number)
    record("message_received", "house:1", None, now)
    record("booked", "build:1", owner, now, kind="full")
    with CaptureQueriesContext(connection) as queries:
        lines = entries_about("house:1", limit=3)
    assert [(line.who, line.text) for line in lines] == [
        ("", "The customer wrote"),
        ("Oda", "Trays 4 to 4 added"),
        ("Oda", "Trays 3 to 3 added"),
    ]
    assert len(queries) == 1
