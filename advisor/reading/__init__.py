"""From files to frozen dataclasses, each of which knows where it was written."""
