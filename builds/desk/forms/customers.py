"""What the shop writes down of a customer."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from builds.desk.forms.fields import token_field
from builds.desk.queries.orders import customer_with_email
from shop.house.world import countries
from shop.people.models import Customer
from shop.web.widgets import language_field


class CustomerForm(forms.ModelForm):
    """Facts of a customer. Only the name by which we greet them is needed."""

    class Meta:
        model = Customer
        fields = ["called", "full_name", "email", "phone", "address", "country", "language", "note"]
        widgets = {
            "called": forms.TextInput(attrs={"autocomplete": "off"}),
            "full_name": forms.TextInput(attrs={"autocomplete": "off"}),
            "email": forms.EmailInput(attrs={"autocomplete": "off"}),
            "phone": forms.TextInput(attrs={"type": "tel", "autocomplete": "off"}),
            "address": forms.Textarea(attrs={"rows": 4, "autocomplete": "off"}),
            "note": forms.Textarea(attrs={"rows": 2}),
        }
        help_texts = {
            "email": _("Without one, nothing can be mailed to them."),
            "address": _("A parcel asks for it: without one it cannot be posted."),
            "note": _("For the shop alone."),
        }
        error_messages = {
            "called": {"required": _("How do you greet them? A first name will do.")},
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["full_name"].required = False
        self.fields["country"] = forms.ChoiceField(
            label=_("Country"), required=False, choices=[("", _("not written down")), *countries()]
        )
        self._speak()

    def _speak(self) -> None:
        help_text = _("Their page, their papers and what we write to them.")
        self.fields["language"] = language_field(help_text)

    def clean_full_name(self) -> str:
        """The full name; where it is left empty, the one by which we greet them."""
        return str(self.cleaned_data["full_name"] or self.cleaned_data.get("called", ""))

    def clean_email(self) -> str:
        """An address that no other customer has."""
        email = str(self.cleaned_data["email"])
        other = customer_with_email(email, but=self.instance.pk)
        if other:
            raise ValidationError(
                _("%(who)s has this address already."), params={"who": other.called}
            )
        return email


class NewCustomerForm(CustomerForm):
    """A customer to be added once."""

    token = token_field()
