"""The business around the bench, and the Django project itself."""
