"""What is read to tell how the shop is."""
