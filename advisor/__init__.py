"""A design advisor for audio systems in vehicles: facts, rules, and explanations."""

__version__ = "0.1.0"
