"""HTTP in and out: each file one subject. Routes translate; what is done stands in `actions`."""
