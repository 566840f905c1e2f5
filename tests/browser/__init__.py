"""What only a browser can tell: ``pip install -e ".[browser]"``, a Chromium of the system, and ``pytest -m browser``."""
