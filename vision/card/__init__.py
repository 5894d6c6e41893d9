"""The printed card: its design, its ink, and where it is in a photo."""
