"""Where mail goes: an SMTP server in plain fields."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

SECURITIES = [
    ("starttls", _("STARTTLS, mostly port 587")),
    ("tls", _("TLS from the start, mostly port 465")),
    ("none", _("none, inside your own network only")),
]
USUAL_PORT = {"starttls": 587, "tls": 465, "none": 25}


class MailForm(forms.Form):
    """The server that takes the shop's mail, as its provider names it."""

    host = forms.CharField(
        label=_("Server"),
        max_length=200,
        required=False,
        help_text=_("As your mail provider names it, for example smtp.example.com"),
        widget=forms.TextInput(attrs={"autocapitalize": "none", "spellcheck": "false"}),
    )
    security = forms.ChoiceField(label=_("Encryption"), choices=SECURITIES)
    port = forms.IntegerField(
        label=_("Port"),
        min_value=1,
        max_value=65535,
        required=False,
        help_text=_("Empty: the usual one."),
    )
    user = forms.CharField(
        label=_("User name"),
        max_length=200,
        required=False,
        help_text=_("Mostly the whole e-mail address."),
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "none"}),
    )
    password = forms.CharField(
        label=_("Password"),
        max_length=500,
        strip=False,
        required=False,
        help_text=_("Empty: the one that is kept for this server and user stays."),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def clean_host(self) -> str:
        host: str = self.cleaned_data["host"]
        if any(sign.isspace() or sign in "/@:?#" for sign in host):
            raise forms.ValidationError(_("A server name has no blanks, slashes, colons or @."))
        return host

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        if "port" in data and "security" in data:
            data["port"] = data["port"] or USUAL_PORT[data["security"]]
        return data


class TestMailForm(forms.Form):
    """To whom a test mail goes."""

    to = forms.EmailField(label=_("To"))


class ForgotForm(forms.Form):
    """Whose password is forgotten."""

    email = forms.EmailField(
        label=_("Your e-mail, as you sign in"),
        widget=forms.EmailInput(attrs={"autocomplete": "username", "autofocus": True}),
    )
