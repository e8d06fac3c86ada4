"""Telling: the same findings on the terminal, as a report, as data; nothing is decided here."""
