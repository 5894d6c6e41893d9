"""Bytes of a photo in, upright grey pixels and what its header says out."""
