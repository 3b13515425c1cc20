"""The list of translated texts: it holds every text of the tool, whole and as it is compiled."""

import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from gettext import GNUTranslations
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import read_po

REPOSITORY = Path(__file__).resolve().parent.parent.parent
LOCALE = Path("shop/locale")
LANGUAGES = sorted(path.name for path in (REPOSITORY / LOCALE).iterdir())
LIST = Path("LC_MESSAGES/django.po")


def _catalog(root: Path, language: str) -> Catalog:
    with (root / LOCALE / language / LIST).open("rb") as file:
        return read_po(file, ignore_obsolete=False)


def _texts(catalog: Catalog) -> Iterator[Message]:
    return (message for message in catalog if message.id)


def _ids(catalog: Catalog) -> set[tuple[str | None, str]]:
    return {(each.context, str(each.id)) for each in _texts(catalog)}


@pytest.fixture(scope="module")
def gathered(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The tool with its texts gathered anew, beside the one that is under test."""
    root = tmp_path_factory.mktemp("tool")
    for name in ("shop", "builds", "templates"):
        shutil.copytree(
            REPOSITORY / name, root / name, ignore=shutil.ignore_patterns("__pycache__")
        )
    shutil.copy(REPOSITORY / "manage.py", root)
    key = "a secret of no use, long enough to pass"
    where = {"HILTYARD_DATA": str(root / "var"), "SECRET_KEY": key, "LINK_KEY": key}
    program = (
        "import sys; from django.core.management import execute_from_command_line as run; "
        "run(['manage.py', 'words'])"
    )
    made = subprocess.run(
        [sys.executable, "-c", program],
        cwd=root, capture_output=True, text=True, check=False,
        env={"PATH": "/usr/local/bin:/usr/bin:/bin", "DJANGO_SETTINGS_MODULE": "shop.settings",
             "PYTHONPATH": str(root), **where},
    )  # fmt: skip
    assert made.returncode == 0, made.stderr
    return root


def test_german_is_among_the_languages() -> None:
    assert "de" in LANGUAGES


@pytest.mark.parametrize("language", LANGUAGES)
def test_list_holds_the_texts_of_today_and_no_others(gathered: Path, language: str) -> None:
    listed, today = _ids(_catalog(REPOSITORY, language)), _ids(_catalog(gathered, language))
    lacking, over = sorted(today - listed, key=str), sorted(listed - today, key=str)
    assert (lacking, over) == ([], []), "type `python3 manage.py words`, then translate"


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_text_is_translated_for_certain(language: str) -> None:
    catalog = _catalog(REPOSITORY, language)
    empty = [
        each.id
        for each in _texts(catalog)
        if not all(each.string if isinstance(each.string, tuple) else (each.string,))
    ]
    assert not empty
    assert not [each.id for each in _texts(catalog) if each.fuzzy]
    assert not catalog.obsolete


@pytest.mark.parametrize("language", LANGUAGES)
def test_placeholders_agree_and_what_is_read_is_what_is_listed(
    language: str, tmp_path: Path
) -> None:
    listed = REPOSITORY / LOCALE / language / LIST
    compiled = tmp_path / "django.mo"
    made = subprocess.run(
        ["msgfmt", "--check", "-o", compiled, listed], capture_output=True, text=True, check=False
    )
    assert made.returncode == 0, made.stderr
    assert _words(compiled) == _words(listed.with_suffix(".mo"))


def _words(compiled: Path) -> dict[object, str]:
    with compiled.open("rb") as file:
        return dict(GNUTranslations(file)._catalog)


ENGLISH_QUOTES = re.compile(r"(?:^|[\s(>„])“|[”‘]|(?<![\w’])’(?!\w)")
OUTSIDE = re.compile(r"[“”‘]")
TRANSLATED = re.compile(
    r"\{%\s*blocktranslate.*?endblocktranslate\s*%\}|\{%\s*comment.*?endcomment\s*%\}"
    r"|\{[%#].*?[%#]\}|_\(\"[^\"]*\"\)",
    re.DOTALL,
)
NAMED = re.compile(r"[“„]([^”“]+)[”“]")


def _both(catalog: Catalog) -> list[tuple[str, str, bool]]:
    """Text and translation, the singular of each, and whether it stands in the help."""
    return [
        (*(each[0] if isinstance(each, tuple) else str(each) for each in (one.id, one.string)),
         any("/help/" in place for place, _line in one.locations))
        for one in _texts(catalog)
    ]  # fmt: skip


def test_german_quotes_as_german_does() -> None:
    catalog = _catalog(REPOSITORY, "de")
    assert not [said for _text, said, _help in _both(catalog) if ENGLISH_QUOTES.search(said)]


def test_no_template_quotes_outside_of_what_is_translated() -> None:
    found = {
        str(path.relative_to(REPOSITORY)): OUTSIDE.findall(TRANSLATED.sub("", path.read_text()))
        for path in (REPOSITORY / "templates").rglob("*.*")
    }
    assert not {path for path, quotes in found.items() if quotes}


def test_help_names_buttons_and_pages_as_they_are_called() -> None:
    """In English and in German alike, where the help puts a name into quotes."""
    texts = _both(_catalog(REPOSITORY, "de"))
    outside = [(text.casefold(), said.casefold()) for text, said, is_help in texts if not is_help]
    named = [
        (name, NAMED.findall(said))
        for text, said, is_help in texts
        if is_help
        for name in NAMED.findall(text)
    ]
    assert named
    assert not [
        (name, germans)
        for name, germans in named
        if not any(_is_called_so(_bare(name), _bare(each), outside) for each in germans)
    ]


def _bare(name: str) -> str:
    return name.rstrip(" …?.").casefold()


def _is_called_so(name: str, german: str, outside: list[tuple[str, str]]) -> bool:
    """A text of its own is named whole; else the name is a part of one, as of “Tell Ines”."""
    own = [said for text, said in outside if _bare(text) == name]
    if own:
        return any(_bare(said) == german for said in own)
    return any(name in text and german in said for text, said in outside)
