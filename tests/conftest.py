"""What all tests share: hypothesis without a stop-watch, and, on the machine that decides what lands, without luck."""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("here", deadline=None)
settings.register_profile("decides", deadline=None, derandomize=True)
settings.load_profile("decides" if os.environ.get("CI") else "here")
