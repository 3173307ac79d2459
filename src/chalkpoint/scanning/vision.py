"""OpenCV without its own types, which ask for more than its functions do."""

from importlib import import_module
from typing import Any

__all__ = ["cv2"]

cv2: Any = import_module("cv2")
