"""Reads the stores: one module a topic. What sums ask of parts stands here by name."""

from shop.stores.queries.known import Figure, Figures, figures, own_figures

__all__ = ["Figure", "Figures", "figures", "own_figures"]
