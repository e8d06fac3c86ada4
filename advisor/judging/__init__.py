"""Judging: the trade's rules held against the facts. The verdict comes first, the words after it."""
