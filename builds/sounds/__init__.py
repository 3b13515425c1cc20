"""What is on the card: slots with their colours and looks, and how bright the blade may be."""
