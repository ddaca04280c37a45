"""How hard Hypothesis searches, and how tests are shared among the cores.

Hypothesis is quick by default, the same every time in CI, and `HYPOTHESIS_PROFILE=thorough` asks for the
long search.
"""

import os
from pathlib import Path

import pytest
from hypothesis import settings

BROWSER = Path(__file__).parent / "browser"

# No deadline: two cores shared with a browser make times that say nothing about an example.
settings.register_profile("quick", deadline=None, max_examples=60)
settings.register_profile("ci", settings.get_profile("quick"), derandomize=True, print_blob=True)
settings.register_profile("thorough", deadline=None, max_examples=3000, print_blob=True)

settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE") or ("ci" if os.environ.get("CI") else "quick"))


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Keep the tests of a file on one core, and all that drive a browser on the same one, begun first.

    Two browsers on two cores starve each other until a tap is given up.
    """
    items.sort(key=lambda item: BROWSER not in item.path.parents)
    for item in items:
        group = BROWSER.name if BROWSER in item.path.parents else str(item.path)
        item.add_marker(pytest.mark.xdist_group(group))
