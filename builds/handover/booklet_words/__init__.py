"""What an owner is told, as text: pure, from plain values."""
