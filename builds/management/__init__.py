"""Commands of `manage.py` that know the work on hilts."""
