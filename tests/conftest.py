"""How every test runs: Hypothesis repeats itself on CI and never hurries anywhere."""

import os

from hypothesis import settings

settings.register_profile("desk", deadline=None, print_blob=True)
settings.register_profile("ci", derandomize=True, deadline=None, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI") else "desk")
