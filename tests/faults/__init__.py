"""Tests that pull plugs."""
