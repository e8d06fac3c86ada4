"""Tests of what is told: reports, pages, commands."""
