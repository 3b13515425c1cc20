"""Tests of the diary."""
