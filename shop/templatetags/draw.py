"""Drawn fragments: the stage rule, the day rule, tags and measures."""

from django import template

register = template.Library()
