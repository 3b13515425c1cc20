"""Forms around an order: who it is for, the job, its terms, goods and answers."""

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from django import forms
from django.utils.html import format_html
from django.utils.translation import gettext_lazy as _

from builds.desk.actions.orders import Job
from builds.desk.forms.fields import SAID_HOW, day_field, text_field, token_field
from builds.hilts.models import Blade, Hilt
from builds.progress.states import Kind, Leaves
from shop.house.world import countries
from shop.orders.actions import Refused, refuse_card_numbers
from shop.orders.models import AnswerKind, Item, Order
from shop.people.models import Customer
from shop.stores.models import Part
from shop.stores.queries.named import to_sell

SOMEONE_NEW = "new"
NO_KNOWN_HILT = "other"
NOT_YET = "no"


class WhoForm(forms.Form):
    """Who an order is for: one of the customers found, or someone new."""

    who = forms.CharField(
        label=_("Look for one we know, by the beginning of a name or an e-mail"),
        required=False,
        max_length=120,
        widget=forms.TextInput(attrs={"type": "search", "autocomplete": "off"}),
    )
    customer = forms.ChoiceField(
        label=_("Customer"),
        widget=forms.RadioSelect,
        error_messages={"required": _("Someone new, or one whom we know?")},
    )

    def __init__(self, found: Iterable[Customer], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.found = {str(customer.pk): customer for customer in found}
        choices = [(pk, _shown(customer)) for pk, customer in self.found.items()]
        self.fields["customer"].choices = [(SOMEONE_NEW, _("Someone new")), *choices]  # type: ignore[attr-defined]

    def chosen(self) -> Customer | None:
        """The customer that was chosen; None for someone new."""
        return self.found.get(str(self["customer"].value() or ""))


def _shown(customer: Customer) -> str:
    """Full name and e-mail; the name by which we greet them only where it is another."""
    name, called = customer.full_name, customer.called
    named = name if name.startswith(called) else f"{called} · {name}"
    return format_html("{}<small>{}</small>", named, customer.email)


class JobForm(forms.Form):
    """A job on a hilt, or a blade alone."""

    hilt = forms.ChoiceField(
        label=_("Hilt"),
        widget=forms.RadioSelect,
        error_messages={"required": _("One of theirs, or another?")},
    )
    hilt_name = forms.CharField(
        label=_("Name of the hilt"),
        required=False,
        max_length=80,
        help_text=_("As its owner calls it. Leave it empty for a blade alone."),
    )
    blade = forms.ChoiceField(label=_("Blade"), required=False)
    blade_name = forms.CharField(
        label=_("Name of a new blade"),
        required=False,
        max_length=80,
        help_text=_("Of a blade alone, or of one that goes home with the hilt."),
    )
    kind = forms.ChoiceField(label=_("Kind of job"), choices=Kind.choices)
    wanted = text_field(
        _("What is wanted"),
        4,
        _("In the customer's words, or yours: it is what they say yes to."),
        error_messages={"required": _("Write down what is wanted, even if only in a few words.")},
    )
    leaves_by = forms.ChoiceField(
        label=_("How it leaves"), choices=Leaves.choices, widget=forms.RadioSelect
    )
    promise_day = day_field(_("Promise: leaves by"))
    agreed_how = forms.ChoiceField(
        label=_("Have they agreed?"),
        help_text=_("A yes is kept word for word: what is wanted, with the price as agreed."),
    )

    def __init__(
        self,
        hilts: Iterable[Hilt],
        *args: Any,
        blades: Iterable[Blade] = (),
        dispatch_hint: str = "",
        **kwargs: Any,
    ) -> None:
        kwargs.setdefault("initial", {}).setdefault("leaves_by", Leaves.POST)
        super().__init__(*args, **kwargs)
        self.hilts = {str(hilt.pk): hilt for hilt in hilts}
        self.fields["hilt"].choices = [  # type: ignore[attr-defined]
            (NO_KNOWN_HILT, _("Another one, or none")),
            *((pk, hilt.name) for pk, hilt in self.hilts.items()),
        ]
        self.fields["hilt"].required = bool(self.hilts)
        self.blades = {str(blade.pk): blade for blade in blades}
        self.fields["blade"].choices = [  # type: ignore[attr-defined]
            ("", _("a new one, or none")),
            *((pk, blade.name) for pk, blade in self.blades.items()),
        ]
        self.fields["agreed_how"].choices = [  # type: ignore[attr-defined]
            (NOT_YET, _("Not yet")),
            *((how, _("Yes, %s") % words) for how, words in SAID_HOW),
        ]
        self.fields["promise_day"].help_text = dispatch_hint

    def clean(self) -> dict[str, Any]:
        """A blade alone has no hilt; every other job has one."""
        fields: dict[str, Any] = super().clean() or {}
        hilt, name = self.hilts.get(fields.get("hilt", "")), fields.get("hilt_name", "")
        if fields.get("kind") == Kind.BLADE:
            if hilt or name:
                self.add_error(
                    "hilt" if hilt else "hilt_name",
                    _("A blade alone has no hilt. Take the hilt away, or choose another job."),
                )
        elif not hilt and not name:
            self.add_error("hilt_name", _("Which hilt is it for? Give it a name."))
        elif not hilt and name.casefold() in {known.name_folded for known in self.hilts.values()}:
            self.add_error(
                "hilt_name",
                _("They have a hilt of this name. Choose it above, or add to the name."),
            )
        return fields

    def job(self) -> Job:
        """The job, as the actions take it."""
        fields = self.cleaned_data
        hilt = self.hilts.get(fields["hilt"])
        return Job(
            kind=fields["kind"],
            leaves_by=fields["leaves_by"],
            wanted=fields["wanted"],
            hilt=hilt,
            hilt_name="" if hilt else fields["hilt_name"],
            blade=self.blades.get(fields["blade"]),
            blade_name=fields["blade_name"],
            promise_day=fields["promise_day"],
            agreed_how="" if fields["agreed_how"] == NOT_YET else fields["agreed_how"],
        )


class TermsForm(forms.Form):
    """When an order is needed, its number at the customer's, and its price as agreed."""

    needed_by = day_field(_("Needed by"), _("If they have a day in mind."))
    reference = forms.CharField(
        label=_("Customer's reference"),
        required=False,
        max_length=80,
        help_text=_("Their own number for it, if they have one. It stands on invoices."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    price_note = text_field(
        _("Price, as agreed"), 2, _("In plain words. The owner alone sees it."), required=False
    )

    def __init__(self, *args: Any, sees_money: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not sees_money:
            del self.fields["price_note"]  # the owner alone sees it

    def clean_reference(self) -> str:
        """No number of a card is ever kept."""
        text = str(self.cleaned_data["reference"])
        try:
            refuse_card_numbers(text)
        except Refused as refusal:
            raise forms.ValidationError(str(refusal)) from refusal
        return text


class ShipToForm(forms.ModelForm):
    """Where an order goes, if not to the customer's own address."""

    class Meta:
        model = Order
        fields = ["ship_name", "ship_address", "ship_country"]
        labels = {"ship_name": _("Name on the parcel"), "ship_address": _("Address")}
        widgets = {
            "ship_name": forms.TextInput(attrs={"autocomplete": "off"}),
            "ship_address": forms.Textarea(attrs={"rows": 4, "autocomplete": "off"}),
        }
        help_texts = {"ship_name": _("Empty: the customer's own name.")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["ship_country"] = forms.ChoiceField(
            label=_("Country"), required=False, choices=[("", _("as the customer's")), *countries()]
        )

    def clean(self) -> dict[str, Any]:
        """A name or a country alone leads nowhere: the address comes with them."""
        fields: dict[str, Any] = super().clean() or {}
        named = fields.get("ship_name") or fields.get("ship_country")
        if named and not fields.get("ship_address"):
            self.add_error("ship_address", _("Which address? Leave all empty for their own."))
        return fields


class OnceForm(forms.Form):
    """The token of a form that does its deed once."""

    token = token_field()

    def token_sent(self) -> UUID | None:
        """The token, whatever else is amiss; None where it is missing or no token."""
        self.is_valid()
        token: UUID | None = self.cleaned_data.get("token") if self.is_bound else None
        return token


class FromStoresForm(forms.Form):
    """The part that goods stand in stores as."""

    part = forms.CharField(
        label=_("Stands in stores as"), required=False, max_length=120,
        help_text=_("Its name or label, as P0042. Its stock falls when its parcel leaves."),
        widget=forms.TextInput(attrs={"list": "sold", "autocomplete": "off"}),
    )  # fmt: skip

    def clean_part(self) -> Part | None:
        """The part; None where nothing is typed."""
        typed = str(self.cleaned_data["part"]).strip()
        try:
            return to_sell(typed) if typed else None
        except ValueError as error:
            raise forms.ValidationError(str(error)) from error


class GoodsForm(FromStoresForm, OnceForm):
    """Goods on an order: a blade, a spare cell, a charger."""

    field_order = ("wanted", "quantity", "part")

    wanted = text_field(
        _("What"),
        2,
        error_messages={"required": _("Which goods? A few words will do.")},
    )
    quantity = forms.IntegerField(
        label=_("How many"), min_value=1, max_value=999, initial=1,
        error_messages={"min_value": _("At least one."), "max_value": _("999 at most.")},
    )  # fmt: skip


class AnswerForm(forms.Form):
    """An answer that a customer gave to one of us, in its exact words."""

    item = forms.ChoiceField(label=_("About"))
    kind = forms.ChoiceField(label=_("What was asked"), choices=AnswerKind.choices)
    said = forms.ChoiceField(
        label=_("Answer"),
        choices=[("yes", _("yes")), ("no", _("no"))],
        widget=forms.RadioSelect,
        error_messages={"required": _("Was it a yes or a no? Silence is neither.")},
    )
    text = text_field(
        _("Their exact words"),
        3,
        _("Nobody can change them later; a new answer is a new entry."),
        error_messages={"required": _("Write down what they said.")},
    )
    how = forms.ChoiceField(label=_("How it came"), choices=SAID_HOW)

    def __init__(self, items: dict[str, tuple[Item, str]], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.items = {key: item for key, (item, _named) in items.items()}
        self.fields["item"].choices = [(key, name) for key, (_item, name) in items.items()]  # type: ignore[attr-defined]

    def answer(self) -> dict[str, Any]:
        """The answer, as the action takes it."""
        fields = self.cleaned_data
        return {
            "item": self.items[fields["item"]],
            "kind": fields["kind"],
            "is_yes": fields["said"] == "yes",
            "text": fields["text"],
            "how": fields["how"],
        }
