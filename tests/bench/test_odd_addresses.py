"""Addresses that nobody is led to by a page of ours."""

import pytest
from django.test import Client


@pytest.mark.parametrize("number", ["²", "9" * 40, "9" * 5000, "-1", "x", "%00"])
def test_parcel_for_an_odd_number_is_logged_for_nobody_yet(
    bench_client: Client, number: str
) -> None:
    assert bench_client.get(f"/intake/new/?build={number}").status_code == 200
