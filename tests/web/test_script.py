"""The little script: a key for search, no double submit, photos one by one."""

import pytest
from playwright.sync_api import Page, Route, expect

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

PHOTO = {"name": "bore.jpg", "mimeType": "image/jpeg", "buffer": b"a photo"}
OTHER = {"name": "wrap.jpg", "mimeType": "image/jpeg", "buffer": b"another"}
NOTES = {"name": "notes.txt", "mimeType": "text/plain", "buffer": b"no photo"}
AGAIN = {"name": "again.jpg", "mimeType": "image/jpeg", "buffer": b"a photo"}


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
    held: list[Route] = []
    tab.goto(gallery_url + "/bench/")
    tab.route("**/bench/", lambda route: held.append(route))
    button = tab.get_by_role("button", name="To teardown")
    button.scroll_into_view_if_needed()
    box = button.bounding_box()
    assert box is not None
    for _ in range(2):
        tab.mouse.click(box["x"] + 20, box["y"] + 20)
        tab.wait_for_timeout(200)
    assert [route.request.method for route in held] == ["POST"]
    held[0].fulfill(status=204)
    expect(button).to_have_attribute("aria-busy", "true")


def _photo_posts(tab: Page) -> list[str | None]:
    posts: list[str | None] = []
    tab.route("**/photos/", lambda route: (posts.append(_header(route)), route.continue_()))
    return posts


def test_each_photo_is_sent_alone(gallery_url: str, tab: Page) -> None:
    tab.goto(gallery_url + "/bench/")
    posts = _photo_posts(tab)
    with tab.expect_response("**/bench/"):
        tab.locator("#files").set_input_files([PHOTO, OTHER])
    assert posts == ["one", "one"]
    expect(tab.locator(".uploads li")).to_have_count(0)


def test_refused_photo_says_why_and_is_tried_again_alone(gallery_url: str, tab: Page) -> None:
    tab.goto(gallery_url + "/bench/")
    posts = _photo_posts(tab)
    tab.locator("#files").set_input_files([PHOTO, NOTES])
    expect(tab.locator(".uploads .why")).to_have_text("notes.txt is not a photo.")
    expect(tab.locator(".uploads li")).to_have_count(1)
    with tab.expect_response("**/photos/") as again:
        tab.get_by_role("button", name="Send again").click()
    assert again.value.json()["why"] == "notes.txt is not a photo."
    assert len(posts) == 3


def test_photo_that_was_there_already_says_so_until_it_is_left(gallery_url: str, tab: Page) -> None:
    tab.goto(gallery_url + "/bench/")
    tab.locator("#files").set_input_files([NOTES, AGAIN])
    expect(tab.locator(".uploads .met")).to_have_text("again.jpg is here already.")
    row = tab.locator(".uploads li", has=tab.locator(".met"))
    expect(row.get_by_role("button")).to_have_text(["Leave it"])
    row.get_by_role("button").click()
    expect(tab.locator(".uploads .met")).to_have_count(0)
    expect(tab.locator(".uploads li")).to_have_count(1)


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
