"""Forms of sign-in and passwords."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.validators import RegexValidator
from django.utils.translation import gettext_lazy as _

from shop.people.models import User
from shop.web.widgets import language_field

LONGEST = 1000  # A password longer than that only makes the server sweat


def password_field(label: Any, autocomplete: str, help_text: Any = "") -> forms.CharField:
    """A password as typed: not trimmed, not shown, and known to password managers."""
    widget = forms.PasswordInput(attrs={"autocomplete": autocomplete})
    return forms.CharField(
        label=label, strip=False, max_length=LONGEST, widget=widget, help_text=help_text
    )


class SignInForm(forms.Form):
    """E-mail and password."""

    email = forms.EmailField(
        label=_("E-mail"),
        widget=forms.EmailInput(attrs={"autocomplete": "username", "autofocus": True}),
    )
    password = password_field(_("Password"), "current-password")
    remember = forms.BooleanField(
        label=_("Stay signed in on this device for two weeks"), required=False, initial=True
    )

    def begin_at_password(self) -> None:
        """Put the cursor where it is needed after a refusal: the address stands already."""
        self.fields["email"].widget.attrs["autofocus"] = False
        self.fields["password"].widget.attrs["autofocus"] = True


class NewPasswordForm(forms.Form):
    """A new password, typed twice because nobody sees it."""

    password = password_field(
        _("New password"), "new-password", _("At least 10 signs. A few plain words do well.")
    )
    again = password_field(_("The same again"), "new-password")

    def __init__(self, user: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.user = user

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        validate_password(password, self.user)
        return password

    def clean_again(self) -> str:
        again: str = self.cleaned_data["again"]
        if "password" in self.cleaned_data and again != self.cleaned_data["password"]:
            raise ValidationError(_("The two are not the same. Type the new password once more."))
        return again


class ChangePasswordForm(NewPasswordForm):
    """The same for someone who is signed in: the present password comes first."""

    present = password_field(_("Present password"), "current-password")
    field_order = ["present", "password", "again"]


def pin_field(label: Any, help_text: Any = "") -> forms.CharField:
    """Four to eight digits, typed on a number pad."""
    widget = forms.PasswordInput(
        attrs={"autocomplete": "off", "inputmode": "numeric", "pattern": "[0-9]*"}
    )
    digits = RegexValidator(r"\A[0-9]{4,8}\Z", _("A PIN has four to eight digits."))
    return forms.CharField(
        label=label, max_length=40, widget=widget, help_text=help_text, validators=[digits]
    )


class PinForm(forms.Form):
    """A person's own PIN, with their password, so that nobody sets it for them."""

    pin = pin_field(_("New PIN"), _("Four to eight digits, none that is easy to guess."))
    present = password_field(_("Your password"), "current-password")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["pin"].required = "drop" not in self.data

    def clean_pin(self) -> str:
        pin: str = self.cleaned_data["pin"]
        if pin and (len(set(pin)) == 1 or pin in "0123456789876543210"):
            raise ValidationError(_("That PIN is easy to guess. Take digits that are mixed."))
        return pin


class TakeOverForm(forms.Form):
    """Who is at the bench now, and their PIN."""

    person = forms.ChoiceField(label=_("Who is it?"), widget=forms.RadioSelect)
    pin = pin_field(_("PIN"))

    def __init__(self, others: Sequence[User], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["person"] = forms.ChoiceField(
            label=_("Who is it?"),
            choices=[(str(other.pk), other.name) for other in others],
            widget=forms.RadioSelect,
        )
        if len(others) == 1:
            self.initial.setdefault("person", str(others[0].pk))
            self.fields["pin"].widget.attrs["autofocus"] = True


class LanguageForm(forms.Form):
    """The language that somebody reads."""

    language = language_field(_("Your pages are in it, on every device."))


class ConfirmForm(forms.Form):
    """One's own password, once more."""

    password = password_field(_("Your password"), "current-password")


def code_field(label: Any, help_text: Any = "") -> forms.CharField:
    """A code of an app, or one from paper: typed as it stands there, blanks and all."""
    signs = {"autocomplete": "one-time-code", "autocapitalize": "none", "spellcheck": "false"}
    widget = forms.TextInput(attrs={**signs, "autofocus": True})
    return forms.CharField(label=label, max_length=60, widget=widget, help_text=help_text)


class SecondStepForm(forms.Form):
    """What is asked after the password."""

    code = code_field(_("Code"), _("The six digits of the app, or one of your codes on paper."))


class AppCodeForm(forms.Form):
    """The first code of an app, which shows that it was set up."""

    code = code_field(_("The six digits that the app shows now"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["code"].widget.attrs |= {"inputmode": "numeric", "autofocus": False}


class PasskeyForm(forms.Form):
    """A passkey's name, and what the browser says of it."""

    name = forms.CharField(
        label=_("Name"), max_length=60, help_text=_("Where it lives, such as: my telephone")
    )
    said = forms.CharField(widget=forms.HiddenInput, max_length=16_000, error_messages={
        "required": _("The browser made no passkey. Begin again.")
    })  # fmt: skip
