"""What every route shares: who asks, the one shape of errors, kept answers, the guard."""
