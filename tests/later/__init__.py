"""Tests of the deeds that come later."""
