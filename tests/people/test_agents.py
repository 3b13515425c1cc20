"""A device is called by what it says of itself."""

import pytest

from shop.people.agents import plain_words


@pytest.mark.parametrize(
    ("agent", "words"),
    [
        ("Brow/5.0 (Sys x86_64; rv:128.0) Core/128.0", "computer or tablet (Sys x86_64, rv:128.0)"),
        ("Brow/5.0 (Sys; Hand 14; Type 8) Core/126.0 Mobile", "telephone (Sys, Hand 14)"),
        ("asker/8.5.0", "computer or tablet"),
        ("", "a device that does not say what it is"),
        ("((((", "a device that does not say what it is"),
        ("<script>alert(1)</script>", "computer or tablet (1)"),
    ],
)
def test_words(agent: str, words: str) -> None:
    assert plain_words(agent) == words
