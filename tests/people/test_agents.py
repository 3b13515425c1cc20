"""A device is called by what it calls itself."""

import pytest

from shop.people.agents import plain_words

SAFE = "AppleWebKit/605.1 (KHTML, like Gecko)"


@pytest.mark.parametrize(
    ("agent", "words"),
    [
        ("Mozilla/5.0 (X11; Linux x86_64; rv:128.0) Gecko/20100101 Brow/128.0", "Brow on Linux"),
        (f"Mozilla/5.0 (X11; Linux x86_64) {SAFE} Brow/126.0.0.0 Safari/537.36", "Brow on Linux"),
        (
            f"Mozilla/5.0 (Linux; Droid 14; Type 8) {SAFE} Brow/126.0 Mobile Safari/537.36",
            "Brow on Droid, telephone",
        ),
        (
            f"Mozilla/5.0 (Pad; CPU OS 17_5 like Mac) {SAFE} Version/17.5 Safari/604.1",
            "Safari on Pad",
        ),
        (f"Mozilla/5.0 (Win NT 10.0; Win64; x64) {SAFE} Brow/126 Safari/5 Ed/1", "Ed on Win"),
        ("curl/8.5.0", "curl"),
        ("", "a device that does not say what it is"),
        ("((((", "a device that does not say what it is"),
        ("<script>alert(1)</script>", "a device that does not say what it is"),
    ],
)
def test_words(agent: str, words: str) -> None:
    assert plain_words(agent) == words
