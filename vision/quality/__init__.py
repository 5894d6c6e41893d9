"""What would make a photo better."""
