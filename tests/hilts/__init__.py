"""What is known of a hilt."""
