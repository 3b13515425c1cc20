"""What the bench's own script asks before it sends."""

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.views.decorators.http import require_safe

from shop.web.access import public, staff


@public  # somebody who was signed out is told so, and not led to the sign-in
@require_safe
def who(request: HttpRequest) -> HttpResponse:
    """Who is at this browser, and the token that forms want of them; nobody: null."""
    if not request.user.is_authenticated:
        return JsonResponse({"who": None})
    return JsonResponse({"who": staff(request).pk, "csrf": get_token(request)})
