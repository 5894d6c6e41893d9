"""Values in, DXF bytes out."""
