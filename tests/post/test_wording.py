"""The shop's words: placeholders filled, unknown ones refused by name."""

from datetime import datetime

import pytest

from shop.people.models import User
from shop.post import actions, queries, wording
from shop.post.models import Occasion

EVERYTHING = {name: f"[{name}]" for name in wording.PLACEHOLDERS}


@pytest.mark.parametrize(
    ("template", "values", "filled"),
    [
        ("Hello $name,", {"name": "Wren"}, "Hello Wren,"),
        ("${hilt}s and $hilt", {"hilt": "Heron"}, "Herons and Heron"),
        ("It costs $5 or a $ more", {}, "It costs $5 or a $ more"),
        ("It costs $$5", {}, "It costs $5"),
        ("one\n$words\ntwo", {}, "one\ntwo"),
        ("one\n\n$words\n\ntwo\n", {"words": ""}, "one\n\ntwo\n"),
        ("See $link", {}, "See $link"),
        ("one\nSee $link", {"link": ""}, "one"),
        ("$words", {"words": "5 $ or $name"}, "5 $ or $name"),
        ("$nonsense", {}, "$nonsense"),
    ],
)
def test_template_is_filled(template: str, values: dict[str, str], filled: str) -> None:
    assert wording.fill(template, values) == filled


@pytest.mark.parametrize(
    ("text", "url", "read"),
    [
        ("See $link.", "https://a.example/x/", "See https://a.example/x/."),
        ("See ${link}s $links", "https://a.example/", "See https://a.example/s $links"),
        ("one\n\nSee $link.\n\ntwo\n", None, "one\n\ntwo\n"),
        ("costs $5", None, "costs $5"),
        ("a \\1 $link", "https://a.example/\\g<0>", "a \\1 https://a.example/\\g<0>"),
    ],
)
def test_link_is_put_in_or_left_unsaid(text: str, url: str | None, read: str) -> None:
    assert wording.with_link(text, url) == read


@pytest.mark.parametrize(
    ("text", "unknown"),
    [
        ("$name $hilt $link", []),
        ("$5, a lone $ and $$name", []),
        ("$nam and ${dya} and $name", ["nam", "dya"]),
        ("$Name", ["Name"]),
    ],
)
def test_unknown_placeholders_are_named(text: str, unknown: list[str]) -> None:
    assert wording.unknown_placeholders(text) == unknown


@pytest.mark.parametrize("occasion", Occasion.values)
def test_default_words_use_known_placeholders_alone(occasion: str) -> None:
    text = wording.default(occasion)
    assert wording.unknown_placeholders(f"{text.subject}\n{text.body}") == []


@pytest.mark.parametrize("occasion", Occasion.values)
def test_default_words_fill_without_rest(occasion: str) -> None:
    text = wording.fill_text(wording.default(occasion), EVERYTHING)
    assert text.subject
    assert "$" not in text.subject + text.body


@pytest.mark.parametrize("occasion", Occasion.values)
def test_default_words_read_well_without_any_value(occasion: str) -> None:
    text = wording.fill_text(wording.default(occasion), {"shop": "Larkhill Works", "link": ""})
    assert "$" not in text.subject + text.body
    assert "\n\n\n" not in text.body


def test_shops_own_words_stand_in_for_the_default(owner: User, now: datetime) -> None:
    actions.save_wording(Occasion.SENT, "Off it goes", "$hilt left by $carrier.", owner, now)
    assert queries.wording_of(Occasion.SENT).subject == "Off it goes"
    actions.default_wording(Occasion.SENT, owner, now)
    assert queries.wording_of(Occasion.SENT) == wording.default(Occasion.SENT)


def test_unknown_placeholder_is_refused_by_name(owner: User, now: datetime) -> None:
    with pytest.raises(actions.Refused, match=r"^\$hlit stands for nothing"):
        actions.save_wording(Occasion.SENT, "Off it goes", "$hlit left.", owner, now)
    assert queries.wording_of(Occasion.SENT) == wording.default(Occasion.SENT)


def test_price_in_the_words_is_kept(owner: User, now: datetime) -> None:
    actions.save_wording(Occasion.FREE, "A spare", "A spare is $5; $ only.", owner, now)
    assert wording.fill(queries.wording_of(Occasion.FREE).body, {}) == "A spare is $5; $ only."


@pytest.mark.parametrize(("subject", "body"), [("", "text"), ("subject", " \n")])
def test_empty_words_are_refused(owner: User, now: datetime, subject: str, body: str) -> None:
    with pytest.raises(actions.Refused):
        actions.save_wording(Occasion.FREE, subject, body, owner, now)
