"""Forms of sound sets: to bring one, to change what is said of it, to sort its files."""

import json
from pathlib import PurePosixPath
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from builds.sounds.actions.sets import Came, SetFacts
from builds.sounds.audit_words.findings import sort_choices
from builds.sounds.models import CardProfile
from builds.sounds.states import Licence
from shop.people.models import Customer
from shop.web.choices import read_choices
from shop.web.widgets import FilesField


class Buyer(forms.ModelChoiceField):
    """A customer, by the name they are called by and their own."""

    def label_from_instance(self, obj: Any) -> str:
        return f"{obj.called} · {obj.full_name}" if obj.full_name else str(obj.called)


class FactsForm(forms.Form):
    """What is said of a set."""

    name = forms.CharField(label=_("Name"), max_length=80)
    licence = forms.ChoiceField(
        label=_("Whose licence"), choices=Licence.choices, widget=forms.RadioSelect
    )
    customer = Buyer(
        Customer.objects.none(),
        label=_("Which customer"),
        required=False,
        empty_label=_("nobody’s alone"),
        help_text=_("Wanted where the set is one customer’s own."),
    )
    words = forms.CharField(
        label=_("Licence, in words"),
        max_length=200,
        required=False,
        help_text=_("Where it was bought, what was agreed."),
    )

    def __init__(self, *args: Any, buyers: QuerySet[Customer], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["customer"].queryset = buyers  # type: ignore[attr-defined]
        read_choices(self, "customer")

    def clean(self) -> dict[str, Any]:
        """One customer's own wants the customer."""
        values = super().clean() or self.cleaned_data
        one = values.get("licence") == Licence.ONE_BUYER
        if one and not values.get("customer") and "customer" not in self.errors:
            self.add_error("customer", _("Say whose it is."))
        return values

    def facts(self) -> SetFacts:
        """What was said, as the action takes it."""
        said = self.cleaned_data
        return SetFacts(said["name"], said["licence"], said["customer"], said["words"])


class BringForm(FactsForm):
    """A set that comes: a zip, several files, or a folder."""

    token = forms.UUIDField(widget=forms.HiddenInput)
    sounds = FilesField(label=_("Zip or sound files"), required=False)
    folder = FilesField(label=_("Or a whole folder"), required=False)
    # Browsers send a folder's files by their own names alone; a script says where each lay.
    paths = forms.CharField(widget=forms.HiddenInput, required=False)
    field_order = ("sounds", "folder", "name", "licence", "customer", "words")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["folder"].widget.attrs["webkitdirectory"] = True
        self.fields["name"].required = False
        self.fields["name"].help_text = _("Empty: as the zip or the folder is called.")

    def clean(self) -> dict[str, Any]:
        """Something must have come; a set without a name is called as its file."""
        values = super().clean()
        came = self.came()
        if not came:
            self.add_error("sounds", _("Choose a zip, sound files or a folder."))
        elif not values.get("name"):
            values["name"] = self._called(came[0])
        return values

    def came(self) -> list[Came]:
        """The files that came, by the paths they had."""
        loose = [Came(str(each.name), each) for each in self.cleaned_data.get("sounds") or []]
        folder: list[UploadedFile] = self.cleaned_data.get("folder") or []
        paths = self._paths(len(folder))
        return loose + [
            Came(path or str(each.name), each) for path, each in zip(paths, folder, strict=True)
        ]

    def _paths(self, count: int) -> list[str]:
        try:
            said = json.loads(self.cleaned_data.get("paths") or "[]")
        except ValueError:
            said = []
        is_told = isinstance(said, list) and len(said) == count
        return [str(path) for path in said] if is_told else [""] * count

    def _called(self, first: Came) -> str:
        path = PurePosixPath(first.path)
        return (path.parts[0] if len(path.parts) > 1 else path.stem)[:80] or str(_("Sound set"))


class SeenForm(forms.Form):
    """A deed that asks nothing: what the person saw."""

    seen = forms.CharField(max_length=40)


class SortForm(forms.Form):
    """Some files of a set, and of what sort they are."""

    sort = forms.ChoiceField(label=_("They are"), choices=sort_choices)
    file = forms.TypedMultipleChoiceField(coerce=int, required=False)

    def __init__(self, *args: Any, ids: list[int], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["file"].choices = [(each, each) for each in ids]  # type: ignore[attr-defined]


class CopyForm(forms.Form):
    """For which board a copy is made."""

    token = forms.UUIDField(widget=forms.HiddenInput)
    board = forms.TypedChoiceField(label=_("For the board"), coerce=int)

    def __init__(self, *args: Any, profiles: list[CardProfile], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["board"].choices = [  # type: ignore[attr-defined]
            (each.part_id, each.part.name) for each in profiles
        ]
