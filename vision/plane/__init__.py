"""The wall's plane: frames in which points and sizes are told."""
