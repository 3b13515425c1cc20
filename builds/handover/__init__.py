"""What the owner of a hilt gets to know: gestures, film, booklet; and the hilt that comes back."""
