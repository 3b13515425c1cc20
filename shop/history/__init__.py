"""Who did what, about what, when: append-only, words made on reading."""
