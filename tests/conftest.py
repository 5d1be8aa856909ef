"""What holds for all tests."""

from hypothesis import settings

# Laws are tested here, not times; a busy machine must not fail them.
settings.register_profile("coldiron", deadline=None)
settings.load_profile("coldiron")
