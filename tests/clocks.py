"""Time that passes while a test looks on."""

from datetime import timedelta

import pytest

from shop import clock


def later(monkeypatch: pytest.MonkeyPatch, **passed: float) -> None:
    """Let time pass since this moment; the clock then stands still."""
    begun = clock.now()
    monkeypatch.setattr(clock, "now", lambda: begun + timedelta(**passed))
