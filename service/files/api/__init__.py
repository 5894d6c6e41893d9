"""What the service's requests and answers hold, beyond the files' own parts."""
