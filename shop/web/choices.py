"""Makes the choices of a form ready, so that no template reads the database."""

from typing import Any

from django.forms import BaseForm, ModelChoiceField


def read_choices(form: BaseForm, *names: str) -> None:
    """Read the choices of fields that choose a row; what is chosen is still looked up anew."""
    for name in names:
        field = form.fields[name]
        # Through iter(): a list of the choices themselves asks for their number first.
        field.choices = list(iter(field.choices))  # type: ignore[attr-defined]


def name_blank(form: BaseForm, words: Any, *names: str) -> None:
    """Say in words what the line of dashes means: nothing is chosen yet, or none of them."""
    for name in names:
        field = form.fields[name]
        if isinstance(field, ModelChoiceField):
            field.empty_label = words
        else:
            field.choices = [(key, label if key else words) for key, label in field.choices]  # type: ignore[attr-defined]


def drop_blank(form: BaseForm, name: str) -> None:
    """Take the line of dashes out: of radio buttons, one is tapped or none."""
    field = form.fields[name]
    field.choices = [choice for choice in field.choices if choice[0]]  # type: ignore[attr-defined]
