"""What the frame around every page needs: the shop, and who is signed in."""

from typing import Any

from django.http import HttpRequest


def frame(request: HttpRequest) -> dict[str, Any]:
    """``house`` and ``who`` for the templates, without a query of their own."""
    return {
        "house": getattr(request, "house", None),
        "who": request.user if hasattr(request, "user") else None,
    }
