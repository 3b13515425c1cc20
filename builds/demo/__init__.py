"""The demo shop: invented data, put in by the product's own deeds. Nothing else calls it."""
