"""What only a browser can tell: ``pip install -e ".[browser]"``, a Chromium of the system, and ``pytest -m browser``."""

import pytest

pytest.register_assert_rewrite("tests.browser.watch")  # its checks tell what they found
