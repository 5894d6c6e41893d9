"""Readings judged against photos and against one another: agreement, slips, release."""
