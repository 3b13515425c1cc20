"""The WSGI entry of the web server."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
application = get_wsgi_application()

from shop.web.idle import watch  # noqa: E402
from shop.web.loaded import keep_loaded  # noqa: E402 – the apps must be there

keep_loaded()
watch()
