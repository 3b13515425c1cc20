"""Tests of staff and sign-in."""
