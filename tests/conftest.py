"""Settings of all tests."""

from hypothesis import settings

# a test that fails because the machine was busy says nothing of the program
settings.register_profile("boltwright", deadline=None)
settings.load_profile("boltwright")
