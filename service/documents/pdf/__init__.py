"""Values in, PDF bytes out."""
