"""What all pages share while the app runs."""

from __future__ import annotations

from pathlib import Path

from chalkpoint.records.security import key_of
from chalkpoint.records.store import Store
from chalkpoint.web.artefacts import Artefacts
from chalkpoint.web.jobs import Jobs
from chalkpoint.web.lanes import Lanes
from chalkpoint.web.live.hub import Hub
from chalkpoint.web.live.seats import Seats
from chalkpoint.web.live.tallies import Tallies
from chalkpoint.web.markers import Markers
from chalkpoint.web.runners import Runner, ThreadRunner
from chalkpoint.web.searches import Searches
from chalkpoint.web.settings import Settings
from chalkpoint.web.summaries import Summaries

__all__ = ["AppState"]


class AppState:
    """The store, the settings, the long work and the made files of a running app.

    runner          does long work: threads, unless another is given
    key             digests addresses and signs what a browser keeps
    made            the folder of files that can be made again
    sign_in_needed  whether a teacher signs in with a password, or the machine's own user is the teacher
    """

    def __init__(
        self,
        store: Store,
        settings: Settings,
        made: Path,
        *,
        runner: Runner | None = None,
        sign_in_needed: bool = False,
    ) -> None:
        self.store = store
        self.settings = settings
        self.sign_in_needed = sign_in_needed
        self.runner = runner or ThreadRunner()
        self.jobs = Jobs(store, self.runner)
        self.searches = Searches(self.runner)
        self.artefacts = Artefacts(made)
        self.markers = Markers()
        self.summaries = Summaries()
        self.hub = Hub()
        self.seats = Seats(store, self.hub.tell)
        self.tallies = Tallies(store)
        self.lanes = Lanes()
        with store.write() as db:
            self.key = key_of(db)

    def close(self) -> None:
        """Begin nothing more, wait for the work under way, and let the database go."""
        self.seats.close()
        self.tallies.close()
        self.searches.close()
        self.jobs.close()
        self.store.close()
