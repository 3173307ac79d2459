"""Teach: lessons and what is made of them, counter-examples, and live classes."""

from chalkpoint.web.places.teaching import counter, lessons, media

__all__ = ["ROUTES"]

ROUTES = [*lessons.ROUTES, *media.ROUTES, *counter.ROUTES]
