"""Where mail goes: an SMTP server in plain fields, kept as one address."""

from typing import Any
from urllib.parse import quote, unquote, urlsplit

from django import forms
from django.utils.translation import gettext_lazy as _

SECURITIES = [
    ("smtp+tls", _("STARTTLS, mostly port 587")),
    ("smtp+ssl", _("TLS from the start, mostly port 465")),
    ("smtp", _("none, inside your own network only")),
]
PORTS = {"smtp+tls": 587, "smtp+ssl": 465, "smtp": 25}


class MailForm(forms.Form):
    """The server that takes the shop's mail, as its provider names it."""

    host = forms.CharField(
        label=_("Server"),
        max_length=200,
        help_text=_("As your mail provider names it, for example smtp.example.com"),
        widget=forms.TextInput(
            attrs={"inputmode": "url", "autocapitalize": "none", "spellcheck": "false"}
        ),
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
        help_text=_("Empty: the one that is kept stays."),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def clean_host(self) -> str:
        host: str = self.cleaned_data["host"]
        if not _is_host(host):
            raise forms.ValidationError(_("A server name has no blanks, slashes or @."))
        return host

    def url(self, kept: str) -> str:
        """The address of the server as one line; the kept password stays if none was typed."""
        data = self.cleaned_data
        password = data["password"] or _password_for(kept, data["host"], data["user"])
        who = f"{quote(data['user'], safe='')}:{quote(password, safe='')}@" if data["user"] else ""
        port = data["port"] or PORTS[data["security"]]
        return f"{data['security']}://{who}{data['host']}:{port}"


def _is_host(host: str) -> bool:
    return not any(sign.isspace() or sign in "/@:?#" for sign in host)


def _password_for(kept: str, host: str, user: str) -> str:
    """The kept password, for the same server and user only: it goes to no other."""
    parts = urlsplit(kept)
    is_same = parts.hostname == host.lower() and unquote(parts.username or "") == user
    return unquote(parts.password or "") if is_same else ""


def as_typed(kept: str) -> dict[str, Any]:
    """The fields of a kept address, without the password."""
    parts = urlsplit(kept)
    if parts.scheme not in PORTS:
        return {"security": SECURITIES[0][0]}
    return {
        "host": parts.hostname or "",
        "security": parts.scheme,
        "port": parts.port,
        "user": unquote(parts.username or ""),
    }
