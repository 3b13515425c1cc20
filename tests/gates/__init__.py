"""Tests of the gates room."""
