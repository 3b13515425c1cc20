"""The little script: a key for search, no double submit, photos one by one."""

import pytest
from playwright.sync_api import Page, Route, expect

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

PHOTO = {"name": "bore.jpg", "mimeType": "image/jpeg", "buffer": b"a photo"}
OTHER = {"name": "wrap.jpg", "mimeType": "image/jpeg", "buffer": b"another"}
NOTES = {"name": "notes.txt", "mimeType": "text/plain", "buffer": b"no photo"}


def _header(route: Route) -> str | None:
    return route.request.headers.get("x-photo")


def test_slash_leads_to_search(gallery_url: str, tab: Page) -> None:
    tab.goto(gallery_url + "/bench/")
    tab.keyboard.press("/")
    expect(tab.locator("#find")).to_be_focused()
    expect(tab.locator("#find")).to_have_value("")


def test_slash_is_a_sign_like_others_in_a_field(gallery_url: str, tab: Page) -> None:
    tab.goto(gallery_url + "/bench/")
    tab.locator("#id_shop").press("End")
    tab.keyboard.type("/2")
    expect(tab.locator("#id_shop")).to_have_value("Heron/2")


def test_double_tap_sends_once(gallery_url: str, tab: Page) -> None:
    sent: list[str] = []

    def hold(route: Route) -> None:
        sent.append(route.request.method)

    tab.goto(gallery_url + "/bench/")
    tab.route("**/bench/", hold)
    button = tab.get_by_role("button", name="To teardown")
    button.click(no_wait_after=True)
    expect(button).to_have_attribute("aria-busy", "true")
    button.click(no_wait_after=True)
    tab.wait_for_timeout(200)
    assert sent == ["POST"]


def test_each_photo_is_sent_alone(gallery_url: str, tab: Page) -> None:
    posts: list[str | None] = []
    tab.goto(gallery_url + "/bench/")
    tab.on(
        "request",
        lambda asked: (
            posts.append(asked.headers.get("x-photo")) if asked.method == "POST" else None
        ),
    )
    with tab.expect_response(lambda answer: answer.request.method == "GET"):
        tab.locator("#files").set_input_files([PHOTO, OTHER])
    assert posts == ["one", "one"]
    expect(tab.locator(".uploads li")).to_have_count(0)


def test_refused_photo_says_why_and_is_tried_again_alone(gallery_url: str, tab: Page) -> None:
    tab.goto(gallery_url + "/bench/")
    tab.locator("#files").set_input_files([PHOTO, NOTES])
    expect(tab.locator(".uploads li")).to_have_count(1)
    expect(tab.locator(".uploads .why")).to_have_text("notes.txt is not a photo.")
    with tab.expect_request(lambda asked: asked.method == "POST") as again:
        tab.get_by_role("button", name="Send again").click()
    assert b"notes.txt" in (again.value.post_data_buffer or b"")
    assert b"bore.jpg" not in (again.value.post_data_buffer or b"")


def test_photo_that_the_shop_never_got_can_be_sent_again(gallery_url: str, tab: Page) -> None:
    tab.goto(gallery_url + "/bench/")
    tab.route("**/photos/", lambda route: route.abort())
    tab.locator("#files").set_input_files([PHOTO])
    expect(tab.locator(".uploads .why")).to_contain_text("did not answer")
    tab.unroute("**/photos/")
    tab.get_by_role("button", name="Send again").click()
    expect(tab.locator(".uploads li")).to_have_count(0)


def test_photos_go_without_the_script(gallery_url: str, tab: Page) -> None:
    assert tab.context.browser is not None
    context = tab.context.browser.new_context(java_script_enabled=False)
    plain = context.new_page()
    plain.goto(gallery_url + "/bench/")
    plain.locator("#files").set_input_files([PHOTO, OTHER])
    plain.get_by_role("button", name="Take: bore, lit").click()
    expect(plain.locator("body")).to_have_text("2 kept")
    context.close()
