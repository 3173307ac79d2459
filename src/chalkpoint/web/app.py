"""The app: guards, places and what they share."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from importlib.resources import files
from pathlib import Path

from anyio import to_thread
from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles

from chalkpoint.publishing import html
from chalkpoint.records import retention
from chalkpoint.records.kept import NotKept
from chalkpoint.records.news import News
from chalkpoint.records.store import LOST, Store
from chalkpoint.web import health, looks, problems, signing
from chalkpoint.web.appstate import AppState
from chalkpoint.web.faults import Faults
from chalkpoint.web.guards import Guard
from chalkpoint.web.live import practice, pupil, teacher
from chalkpoint.web.logs import AccessLog
from chalkpoint.web.pagerequest import PageRequest, open_page
from chalkpoint.web.places import (
    account,
    bank,
    courses,
    examples,
    find,
    jobs,
    kept,
    marking,
    papers,
    shared,
    teaching,
    work,
)
from chalkpoint.web.places import set as setting
from chalkpoint.web.rendering import montage_script
from chalkpoint.web.runners import Runner
from chalkpoint.web.settings import Settings

__all__ = ["ROUTES", "create_app"]

AT_ONCE = 12  # pages made at a time in one process; more threads only fight for the interpreter
LARGEST_BODY = 1_000_000  # bytes; routes that take files say their own
FIRST_TENDED, TENDED_EVERY = 60.0, 6 * 3600.0  # seconds after the start, and between two looks at what is old
YEAR = "public, max-age=31536000, immutable"

log = logging.getLogger("chalkpoint")


def create_app(
    store: Store,
    settings: Settings | None = None,
    *,
    cache: Path | None = None,
    runner: Runner | None = None,
) -> Starlette:
    """Return the app that serves *store*; it closes the store when it stops.

    cache   where files are made that can be made again; in the user's cache by default
    runner  what does long work: threads by default
    """
    settings = settings or Settings()
    shared = AppState(
        store,
        settings,
        cache or _own_cache(),
        runner=runner,
        sign_in_needed=settings.is_reached_by_others or signing.has_password(store),
    )

    @asynccontextmanager
    async def life(app: Starlette) -> AsyncIterator[None]:
        to_thread.current_default_thread_limiter().total_tokens = AT_ONCE
        shared.hub.start()
        news = News(store, shared.hub.tell_here, shared.hub.wake_all)
        shared.hub.further = news.say
        news.start()
        tending = asyncio.create_task(_tend(store))
        yield
        tending.cancel()
        news.stop()
        shared.close()

    app = Starlette(
        routes=ROUTES,
        middleware=[
            Middleware(AccessLog),
            Middleware(Guard, settings=settings),
            Middleware(GZipMiddleware, minimum_size=1000),
            Middleware(Faults),
        ],
        exception_handlers=problems.HANDLERS,
        lifespan=life,
        max_body_size=LARGEST_BODY,
    )
    app.state.shared = shared
    return app


def _own_cache() -> Path:
    """Return the folder of the user's cache; only where the system has one."""
    from platformdirs import user_cache_path

    return user_cache_path("chalkpoint") / "made"


async def _tend(store: Store) -> None:
    """Forget by age what was told for a month that it would be, and put up such notices, now and again."""
    while True:
        await asyncio.sleep(FIRST_TENDED)
        try:
            await to_thread.run_sync(retention.tend, store)
        except LOST as reason:
            log.warning("nothing is forgotten by age: %s", type(reason).__name__)
        await asyncio.sleep(TENDED_EVERY - FIRST_TENDED)


def rails(request: Request) -> Response:
    """Return the sheet of the drawing, which publishing keeps."""
    return Response(html.rails_sheet(), media_type="text/css", headers={"Cache-Control": YEAR})


def montage(request: Request) -> Response:
    """Return the script of a montage, which the room that reads stacks keeps for its own pages too."""
    return Response(montage_script(), media_type="text/javascript", headers={"Cache-Control": YEAR})


def nowhere(request: PageRequest) -> Response:
    """Say that there is no such page."""
    raise NotKept(f"there is no page {request.address!r}")


class Static(StaticFiles):
    """Our own files, whose addresses change when they do, so that browsers may keep them."""

    def file_response(self, *args: object, **more: object) -> Response:
        """Return a file that may be kept for a year."""
        response = super().file_response(*args, **more)  # type: ignore[arg-type]
        response.headers["Cache-Control"] = YEAR
        return response


ROUTES: list[BaseRoute] = [
    Route("/", lambda request: RedirectResponse("/work")),
    *health.ROUTES,
    *signing.ROUTES,
    *looks.ROUTES,
    *jobs.ROUTES,
    *work.ROUTES,
    *find.ROUTES,
    *bank.ROUTES,
    *setting.ROUTES,
    *papers.ROUTES,
    *marking.ROUTES,
    *teaching.ROUTES,
    *teacher.ROUTES,
    *pupil.ROUTES,
    *practice.ROUTES,
    *courses.ROUTES,
    *examples.ROUTES,
    *kept.ROUTES,
    *account.ROUTES,
    *shared.ROUTES,
    Route("/static/rails.css", rails),
    Route("/static/montage.js", montage),
    Mount("/static", Static(directory=str(files("chalkpoint.web") / "static"))),
    Route("/{rest:path}", open_page(nowhere), methods=["GET", "POST"]),
]
