"""Settings of the property tests: no time limit for one example, so that a busy machine fails none."""

from hypothesis import settings

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")
