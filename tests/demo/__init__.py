"""Tests of the demo shop."""
