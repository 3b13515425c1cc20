"""The list of what is held of a customer: no table, no free words, no file can be forgotten.

It stands here, beside the back-ups, because whoever adds a table runs these tests.
"""

from collections import defaultdict

import pytest
from django.apps import apps
from django.db.models import CharField, ForeignKey, JSONField, Model, TextField

from builds.forgetting.queries.held import model_of
from builds.forgetting.reach import BY_KEY, HELD, NOBODYS, OTHER_FILES, OWN, Held
from shop.files.models import Blob
from shop.people.models import Customer

OURS = [model for app in ("shop", "builds") for model in apps.get_app_config(app).get_models()]
BY_NAME = {model.__name__: model for model in OURS}


def _links(model: type[Model]) -> list[tuple[str, type[Model]]]:
    fields = model._meta.concrete_fields
    return [(f.name, f.related_model) for f in fields if isinstance(f, ForeignKey)]


def _reached() -> set[type[Model]]:
    """Every table whose rows lead to a customer, however far."""
    found: set[type[Model]] = {Customer}
    while more := {model for model in OURS for _, other in _links(model) if other in found} - found:
        found |= more
    return found


def _words(model: type[Model]) -> set[str]:
    """Columns in which a person may have written something."""
    return {
        field.attname
        for field in model._meta.concrete_fields
        if isinstance(field, CharField | TextField | JSONField) and not field.choices
    }


LISTED = {held.model for held in HELD} | {OWN.model}


def test_every_table_that_leads_to_a_customer_is_listed() -> None:
    assert {model.__name__ for model in _reached()} - LISTED == set()


def test_what_theirs_points_to_is_listed_or_nobodys() -> None:
    pointed = {other.__name__ for name in LISTED for _, other in _links(BY_NAME[name])}
    assert pointed - LISTED - NOBODYS.keys() == set()


def test_every_column_of_words_has_its_rule() -> None:
    ruled: dict[str, set[str]] = defaultdict(set)
    for held in (*HELD, OWN):
        ruled[held.model] |= {*held.goes, *held.later, *held.words, *held.codes}
    lacking = {
        name: sorted(_words(BY_NAME[name]) - columns)
        for name, columns in ((name, ruled[name]) for name in LISTED)
        if _words(BY_NAME[name]) - columns
    }
    assert lacking == {}


def test_no_rule_speaks_of_what_is_not_there() -> None:
    for held in (*HELD, OWN):
        columns = {field.attname for field in BY_NAME[held.model]._meta.concrete_fields}
        assert {*held.goes, *held.later, *held.words, *held.codes} <= columns, held.model


def test_every_link_to_a_file_has_its_rule() -> None:
    ruled = {(held.model, link) for held in HELD for link in held.files}
    links = {(m.__name__, name) for m in OURS for name, other in _links(m) if other is Blob}
    assert links - ruled - OTHER_FILES.keys() == set()


def test_every_key_in_words_has_its_rule() -> None:
    keyed = {m.__name__ for m in OURS for f in m._meta.concrete_fields if f.attname == "about"}
    assert keyed == BY_KEY.keys()


@pytest.mark.django_db
@pytest.mark.parametrize("held", HELD, ids=lambda held: f"{held.model} {held.path}")
def test_path_leads_to_a_customer(held: Held) -> None:
    assert not model_of(held)._base_manager.filter(**{held.path: 0}).exists()
