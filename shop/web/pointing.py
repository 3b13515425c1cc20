"""On a page that came back refused: where it says why is where the browser begins."""

import re

_OWN = re.compile(r"<[^>]*\sautofocus[\s>=]")
_SAYS = (
    re.compile(r'<\w+(?=[^>]*\bclass="(?:[^"]* )?wrongs(?: [^"]*)?")(?![^>]*\shidden)[^>]*'),
    re.compile(r'<\w+(?=[^>]*\bclass="(?:[^"]* )?wrong(?: [^"]*)?")(?![^>]*\shidden)[^>]*'),
)
_FOLD = re.compile(r"<(/?)details\b([^>]*)>")


def begins_at_the_reason(html: str) -> str:
    """The page with its first reason in focus, and the folds around it open.

    A page that names a place to begin at by itself, as a sign-in does, keeps that.
    """
    if _OWN.search(html):
        return html
    found = next(filter(None, (says.search(html) for says in _SAYS)), None)
    if found is None:
        return html
    end = found.end()
    return f'{_unfolded(html[:end])} tabindex="-1" autofocus{html[end:]}'


def _unfolded(html: str) -> str:
    """A beginning of a page with each fold that it ends in open."""
    around: list[re.Match[str]] = []
    for fold in _FOLD.finditer(html):
        if fold[1]:
            around.pop()
        else:
            around.append(fold)
    for fold in reversed(around):
        if not re.search(r"\sopen\b", fold[2]):
            html = f"{html[: fold.end() - 1]} open{html[fold.end() - 1 :]}"
    return html
