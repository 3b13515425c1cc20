"""The forms of the first set-up; those of the shop, the week and passwords come from below."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from shop.house.forms import PlaceForm
from shop.house.models import House
from shop.people.forms import NewPasswordForm
from shop.people.models import Role, User


class CodeForm(forms.Form):
    """Proof that whoever sets up the shop sits at its machine."""

    code = forms.CharField(
        label=_("One-time code"),
        max_length=40,
        help_text=_("It stands where Hiltyard was started, and looks like K7QM-3XTD."),
        widget=forms.TextInput(
            attrs={
                "autocomplete": "off",
                "autocapitalize": "characters",
                "spellcheck": "false",
                "autofocus": True,
            }
        ),
    )


class NewShopForm(PlaceForm):
    """The least that a shop needs: its name, where it is, and its address for tablets."""

    class Meta(PlaceForm.Meta):
        fields = ["name", "bench_url", *PlaceForm.Meta.fields]
        model = House
        labels = {"bench_url": _("Bench address")}
        widgets = {"bench_url": forms.URLInput(attrs={"autocapitalize": "none"})}
        help_texts = {
            **PlaceForm.Meta.help_texts,
            "bench_url": _(
                "Where your tablets open Hiltyard; you can change it later. "
                "One with 127.0.0.1 works on this machine alone."
            ),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["bench_url"].required = True

    def clean_bench_url(self) -> str:
        return str(self.cleaned_data["bench_url"]).rstrip("/")


class OwnerForm(NewPasswordForm):
    """Who owns the shop, and signs in first."""

    name = forms.CharField(
        label=_("Your name"), max_length=60, widget=forms.TextInput(attrs={"autocomplete": "name"})
    )
    email = forms.EmailField(
        label=_("Your e-mail, to sign in with"),
        widget=forms.EmailInput(attrs={"autocomplete": "username"}),
    )
    field_order = ["name", "email", "password", "again"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(User(role=Role.OWNER), *args, **kwargs)

    def clean_email(self) -> str:
        # The password is measured against name and address, which come first.
        self.user.name = self.cleaned_data.get("name", "")
        self.user.email = User.objects.normalise(self.cleaned_data["email"])
        if User.objects.filter(email=self.user.email).exists():
            raise ValidationError(_("Somebody signs in with this address already."))
        return self.user.email
