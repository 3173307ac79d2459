"""What all pages share while the app runs."""

from __future__ import annotations

from dataclasses import dataclass, field

from chalkpoint.records.store import Store
from chalkpoint.web.artefacts import Artefacts
from chalkpoint.web.jobs import Jobs
from chalkpoint.web.live.hub import Hub
from chalkpoint.web.markers import Markers
from chalkpoint.web.searches import Searches
from chalkpoint.web.settings import Settings
from chalkpoint.web.summaries import Summaries

__all__ = ["House"]


@dataclass(slots=True)
class House:
    """The store, the settings, the long work and the made files of a running app.

    sign_in_needed  whether a teacher signs in with a password, or the machine's own user is the teacher
    """

    store: Store
    settings: Settings
    jobs: Jobs
    artefacts: Artefacts
    searches: Searches = field(default_factory=Searches)
    markers: Markers = field(default_factory=Markers)
    summaries: Summaries = field(default_factory=Summaries)
    hub: Hub = field(default_factory=Hub)
    sign_in_needed: bool = False
