"""Property tests take as long as a busy machine needs: a deadline would measure the machine."""

from hypothesis import settings

settings.register_profile("no deadline", deadline=None)
settings.load_profile("no deadline")
