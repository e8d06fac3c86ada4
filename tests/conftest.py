"""Property tests draw the same examples every time, and no slow machine makes them fail."""

from hypothesis import settings

settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile("steady")
