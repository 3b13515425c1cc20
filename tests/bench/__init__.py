"""Tests of the pages of the bench."""
