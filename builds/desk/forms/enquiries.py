"""What the shop writes down of an enquiry, and how it fills the form of a new order."""

import re
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.desk.forms.fields import SAID_HOW, day_field, text_field, token_field
from builds.desk.forms.orders import SOMEONE_NEW
from builds.desk.queries.orders import customers_called, customers_to_choose
from builds.intake.models import Arrival
from shop.orders.models import Enquiry
from shop.web.widgets import PhotosField

_EMAIL = re.compile(r"[^\s,;<>]+@[^\s,;<>]+\.[^\s,;<>]+")
_PHONE = re.compile(r"\+?\d[\d\s()/-]{5,}\d")


class EnquiryForm(forms.Form):
    """Who asks, how to reach them, and for what."""

    customer = forms.ChoiceField(
        label=_("Somebody we know?"),
        required=False,
        help_text=_("The newest customers stand here."),
    )
    called = forms.CharField(
        label=_("Name"),
        required=False,
        max_length=60,
        widget=forms.TextInput({"autocomplete": "off"}),
    )
    contact = forms.CharField(
        label=_("How to reach them"),
        required=False,
        max_length=200,
        help_text=_("E-mail, telephone, the name in a chat: whatever you have."),
        widget=forms.TextInput({"autocomplete": "off"}),
    )
    wishes = text_field(
        _("What they wish for"),
        5,
        _("In their words, as far as you have them."),
        error_messages={"required": _("Write down what they ask for, even if only roughly.")},
    )
    deadline = day_field(_("Needed by"), _("If they named a day."))
    how = forms.ChoiceField(
        label=_("How it came"), required=False, choices=[("", _("not written down")), *SAID_HOW]
    )

    def __init__(self, *args: Any, chosen: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        typed = self.data.get("customer", "") if self.is_bound else chosen
        self.found = {str(one.pk): one for one in customers_to_choose("", str(typed))}
        self.fields["customer"].choices = [  # type: ignore[attr-defined]
            ("", _("somebody new")),
            *((pk, one.full_name) for pk, one in self.found.items()),
        ]

    def clean(self) -> dict[str, Any]:
        """Somebody asks: one we know, or somebody with a name."""
        fields: dict[str, Any] = super().clean() or {}
        if not fields.get("customer") and not fields.get("called"):
            self.add_error("called", gettext("Who asks? A first name or a nickname will do."))
        return fields

    def facts(self) -> dict[str, Any]:
        """What is written down, as the action takes it."""
        values = {name: self.cleaned_data[name] for name in self.WRITTEN}
        return {**values, "customer": self.found.get(self.cleaned_data["customer"])}

    WRITTEN = ("called", "contact", "wishes", "deadline", "how")


class NewEnquiryForm(EnquiryForm):
    """An enquiry to be noted once."""

    token = token_field()


class EnquiryPhotosForm(forms.Form):
    """Photos that came with an enquiry."""

    photos = PhotosField(
        label=_("Photos"),
        error_messages={"required": _("Choose a photo first.")},
    )


class LostForm(forms.Form):
    """Why an enquiry came to nothing."""

    why = forms.CharField(
        label=_("Why?"),
        max_length=200,
        help_text=_("Too dear, too late, not heard again: it helps with the next one."),
        error_messages={"required": _("Write down in a few words why.")},
    )


def initial_of(enquiry: Enquiry) -> dict[str, Any]:
    """What stands in the form of an enquiry that is there."""
    facts = {name: getattr(enquiry, name) for name in EnquiryForm.WRITTEN}
    return {**facts, "customer": enquiry.customer_id or ""}


def prefilled(asked: QueryDict, enquiry: Enquiry | None) -> QueryDict:
    """What a new order's page begins with: what its address asks for, or an enquiry's words."""
    if enquiry is None:
        return asked
    typed = asked.copy()
    typed.setdefault("wanted", enquiry.wishes)
    if enquiry.deadline:
        typed.setdefault("needed_by", enquiry.deadline.isoformat())
    if enquiry.customer_id:
        typed.setdefault("customer", str(enquiry.customer_id))
        return typed
    typed.setdefault("customer", SOMEONE_NEW)
    for name, value in _as_customer(enquiry.called, enquiry.contact).items():
        typed.setdefault(f"new-{name}", value)
    return typed


def from_sender(asked: QueryDict, parcel: Arrival | None) -> QueryDict:
    """What a new order's page begins with where a parcel waits for it: who sent it."""
    if parcel is None or not parcel.sender:
        return asked
    typed, facts = asked.copy(), facts_of_sender(parcel.sender)
    known = customers_called(facts["full_name"] or facts["called"])
    typed.setdefault("customer", str(known[0].pk) if len(known) == 1 else SOMEONE_NEW)
    for name, value in facts.items():
        typed.setdefault(f"new-{name}", value)
    return typed


def facts_of_sender(sender: str) -> dict[str, str]:
    """What stands on a box, as the facts of a customer: the name comes first."""
    starts = [found.start() for at in (_EMAIL, _PHONE) if (found := at.search(sender))]
    until = min([*starts, *(sender.find(sign) for sign in ",;\n" if sign in sender), len(sender)])
    return _as_customer(sender[:until].strip(" ,;/"), sender[until:])


def _as_customer(called: str, contact: str) -> dict[str, str]:
    """Loose words as the facts of a customer; what fits nowhere goes into the note."""
    email, phone = _EMAIL.search(contact), _PHONE.search(contact)
    rest = contact
    for found in (email, phone):
        rest = rest.replace(found[0], "") if found else rest
    first, _gap, family = called.partition(" ")
    return {
        "called": first,
        "full_name": called if family else "",
        "email": email[0] if email else "",
        "phone": phone[0] if phone else "",
        "note": rest.strip(" ,;/"),
    }
