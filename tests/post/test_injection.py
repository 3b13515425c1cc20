"""What somebody typed is text: in the words of a message and in the head of a mail."""

import pytest

from shop.post.headers import one_line
from shop.post.wording import Text, fill_text, with_link

HOSTILE = [
    "{{ settings.SECRET_KEY }}", "{% include 'base.html' %}", "{name.__class__}", "%(name)s",
    "${name.__class__}", "$name.__class__.__mro__", "${__import__('os')}", "$$name", "<b>x</b>",
    "#set document", "\\N{BULLET}", "{0}", "$SECRET_KEY", "${SECRET_KEY}",
]  # fmt: skip


@pytest.mark.parametrize("typed", HOSTILE)
def test_value_is_never_read_as_a_template(typed: str) -> None:
    filled = fill_text(Text("For $name", "Hello $name,\nbye"), {"name": typed})
    assert filled == Text(f"For {typed}", f"Hello {typed},\nbye")


@pytest.mark.parametrize("typed", HOSTILE)
def test_words_of_the_shop_name_placeholders_and_nothing_more(typed: str) -> None:
    filled = fill_text(Text("x", typed), {"name": "Maud"})
    for secret in ("class 'str'", "posix", "django-insecure", "tests-only"):
        assert secret not in filled.body


def test_placeholder_in_a_value_is_not_filled_in_turn() -> None:
    filled = fill_text(Text("x", "Hello $name,\n$words"), {"name": "$words", "words": "as agreed"})
    assert filled.body == "Hello $words,\nas agreed"


def test_link_is_put_in_as_text() -> None:
    assert with_link("Here: $link", r"https://x.example/\1?a=$link") == (
        r"Here: https://x.example/\1?a=$link"
    )


@pytest.mark.parametrize("sign", ["\r\n", *"\n\r\v\f\x1c\x85\u2028\u2029\0"])
def test_head_of_a_mail_is_one_line_whatever_was_typed(sign: str) -> None:
    kept = one_line(f"Your hilt{sign}Bcc: everybody@elsewhere.example")
    assert len(kept.splitlines()) == 1
    assert kept == "Your hilt Bcc: everybody@elsewhere.example"
