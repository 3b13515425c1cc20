"""Tests of the stores."""
