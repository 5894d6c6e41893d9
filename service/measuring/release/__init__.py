"""Release of one sheet: what proves its sizes, what holds it back, and its locked revisions."""
