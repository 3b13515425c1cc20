"""Tests of the progress room."""
