"""The example job, held to what it is there to show."""
