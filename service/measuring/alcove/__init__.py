"""An alcove in the trade's own words, and everything in it that must close."""
