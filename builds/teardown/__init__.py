"""Taking apart: what is out, what was tried on a stuck joint, how deep the blade goes."""
