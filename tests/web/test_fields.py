"""Fields tell what they want and what was wrong, beside themselves and for every reader."""

from datetime import date

import pytest
from django import forms
from django.core.files.uploadedfile import SimpleUploadedFile
from django.template.loader import render_to_string
from django.utils.datastructures import MultiValueDict

from shop.web.widgets import Day, Hour, PhotosField
from tests.web.gallery_urls import Everything


def _field(name: str, data: dict[str, object] | None = None) -> str:
    form = Everything(data) if data is not None else Everything()
    return render_to_string("web/_field.html", {"field": form[name]})


@pytest.mark.parametrize("name", list(Everything.base_fields))
def test_every_kind_of_field_has_its_label(name: str) -> None:
    html = _field(name)
    assert str(Everything.base_fields[name].label) in html
    assert f"id_{name}" in html


def test_help_and_error_are_tied_to_the_input() -> None:
    html = _field("shop", {"shop": ""})
    assert 'aria-describedby="id_shop_helptext id_shop_error"' in html
    assert 'id="id_shop_helptext"' in html
    assert 'id="id_shop_error"' in html
    assert 'aria-invalid="true"' in html


def test_error_of_choices_is_tied_to_their_group() -> None:
    html = _field("kind", {})
    assert '<fieldset class="field" id="id_kind" aria-describedby="id_kind_error"' in html
    assert html.count('<label class="choice"') == 3


def test_what_was_typed_is_still_there_after_a_refusal() -> None:
    assert 'value="not one"' in _field("email", {"email": "not one"})


def test_a_field_that_may_stay_empty_says_so() -> None:
    assert "may stay empty" in _field("email")
    assert "may stay empty" not in _field("shop")


def test_errors_at_the_head_lead_to_their_fields() -> None:
    html = render_to_string("web/_errors.html", {"form": Everything({"shop": ""})})
    assert '<a href="#id_shop">Hilt</a>' in html
    assert 'role="alert"' in html


def test_a_form_without_errors_has_no_summary() -> None:
    assert render_to_string("web/_errors.html", {"form": Everything()}).strip() == ""


class _Kept(forms.Form):
    day = forms.DateField(widget=Day)
    hour = forms.TimeField(widget=Hour)


def test_a_day_is_given_to_the_browser_as_it_wants_it() -> None:
    html = str(_Kept(initial={"day": date(2026, 11, 30)})["day"])
    assert 'type="date"' in html
    assert 'value="2026-11-30"' in html


def test_an_hour_is_asked_for_by_the_browsers_clock() -> None:
    assert 'type="time"' in str(_Kept()["hour"])


class _Photos(forms.Form):
    photos = PhotosField()


def _sent(*names: str) -> MultiValueDict:
    files = [SimpleUploadedFile(name, b"bytes", "image/jpeg") for name in names]
    return MultiValueDict({"photos": files})


def test_many_photos_come_as_a_list() -> None:
    form = _Photos({}, _sent("a.jpg", "b.jpg"))
    assert form.is_valid()
    assert [photo.name for photo in form.cleaned_data["photos"]] == ["a.jpg", "b.jpg"]


def test_one_empty_photo_spoils_none_in_silence() -> None:
    form = _Photos({}, MultiValueDict({"photos": [SimpleUploadedFile("a.jpg", b"")]}))
    assert not form.is_valid()


def test_no_photo_where_one_is_needed_is_refused() -> None:
    assert not _Photos({}, MultiValueDict()).is_valid()


def test_photo_input_leaves_the_phone_its_choice() -> None:
    html = str(_Photos()["photos"])
    assert "multiple" in html
    assert "capture" not in html
