"""Sign-in, first set-up and the staff's own pages."""

urlpatterns: list = []
