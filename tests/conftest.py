"""How hard Hypothesis searches: quick by default, the same every time in CI, thorough when asked.

`HYPOTHESIS_PROFILE=thorough` asks for the long search.
"""

import os

from hypothesis import settings

# No deadline: two cores shared with a browser make times that say nothing about an example.
settings.register_profile("quick", deadline=None, max_examples=60)
settings.register_profile("ci", settings.get_profile("quick"), derandomize=True, print_blob=True)
settings.register_profile("thorough", deadline=None, max_examples=3000, print_blob=True)

settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE") or ("ci" if os.environ.get("CI") else "quick"))
