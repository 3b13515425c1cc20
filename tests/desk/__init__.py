"""Tests of the desk: set-up and settings."""
