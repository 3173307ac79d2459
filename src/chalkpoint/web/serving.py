"""The server: where it listens, and what it says when it does."""

from __future__ import annotations

import os
import secrets
import socket
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import uvicorn
from uvicorn.supervisors import Multiprocess

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records import teachers
from chalkpoint.records.store import Store, open_store
from chalkpoint.web import worker
from chalkpoint.web.connections import BoundedProtocol, raise_file_limit
from chalkpoint.web.exampleterm import fill
from chalkpoint.web.logs import log_as_json
from chalkpoint.web.settings import Settings
from chalkpoint.web.signing import has_password

__all__ = ["serve"]

LOCAL, EVERYWHERE = "127.0.0.1", "0.0.0.0"  # noqa: S104 - everywhere only when the teacher says so
START = "CHALKPOINT_START"  # where a script that starts the server says what the printed address carries
PLAIN = (
    "Nothing is encrypted: whoever shares this network can read what is sent, passwords too. On a network you do not "
    "trust put a proxy with TLS before it and give --name."
)
BACKLOG = 4096  # connections that may wait to be taken
GRACE = 3  # seconds that open streams have when the server stops


def serve(
    *,
    port: int,
    lan: bool,
    names: tuple[str, ...],
    database: str | None,
    processes: int,
    log: bool,
    example: bool = False,
    ask_password: Callable[[], str],
    say: Callable[[str], None],
) -> None:
    """Serve until interrupted.

    lan           whether other machines are let in
    names         what a proxy before this server is called
    database      a URL, or None for the file in the user's data folder
    processes     how many serve together; more than one needs a PostgreSQL
    log           whether requests are logged, as lines of JSON
    example       whether a term of an invented class is served, from a database that is gone when this ends
    ask_password  asked for the teacher's password where *lan* needs one and there is none
    say           told the addresses, a line each

    Raises EntryError where the port is taken, a password is refused, or a file is to be shared by processes.
    """
    settings = Settings(
        lan=lan, port=port, public=names, start_token=os.environ.get(START) or secrets.token_urlsafe(16)
    )
    raise_file_limit()
    with _listen(EVERYWHERE if lan else LOCAL, port) as listening, ExitStack() as ended:
        store = ended.enter_context(_example_store(say)) if example else open_store(database)
        if processes > 1 and store.is_file:
            raise EntryError(
                f"--processes {processes} needs a PostgreSQL, since live classes go across processes by its news; "
                "give --database postgresql://USER@HOST/NAME"
            )
        if settings.is_reached_by_others:
            _need_password(store, ask_password)
        for line in _addresses(settings, sign_in_needed=settings.is_reached_by_others or has_password(store)):
            say(line)
        if settings.is_reached_by_others:
            say(_who(store))
        if lan:
            say(PLAIN)
        if processes > 1:
            store.close()
            _serve_together(listening, settings, database, processes, log=log)
        else:
            if log:
                log_as_json()
            uvicorn.Server(_config(worker.lasting_app(store, settings), proxy_headers=bool(names))).run(
                sockets=[listening]
            )


@contextmanager
def _example_store(say: Callable[[str], None]) -> Iterator[Store]:
    """Open a database of its own with an example term, and take it away in the end."""
    with TemporaryDirectory(prefix="chalkpoint-", ignore_cleanup_errors=True) as folder:
        store = open_store(f"sqlite:///{(Path(folder) / 'example.db').as_posix()}")
        fill(store, say)
        say(
            "This is an example: nothing that you change in it is kept, and your own records are not touched."
        )
        yield store


def _serve_together(
    listening: socket.socket, settings: Settings, database: str | None, processes: int, *, log: bool
) -> None:
    """Serve by several processes on one socket; one that dies is started anew."""
    os.environ[worker.TOLD] = worker.told(settings, database, log=log)
    config = _config(
        "chalkpoint.web.worker:create", factory=True, workers=processes, proxy_headers=bool(settings.public)
    )
    Multiprocess(config, [listening]).run()


def _config(app: Any, **more: Any) -> uvicorn.Config:
    return uvicorn.Config(
        app,
        log_config=None,
        log_level="warning",
        access_log=False,
        timeout_graceful_shutdown=GRACE,
        server_header=False,
        ws="none",
        http=BoundedProtocol,
        backlog=BACKLOG,
        **more,
    )


def _addresses(settings: Settings, *, sign_in_needed: bool) -> Iterator[str]:
    first = "work" if sign_in_needed else f"start?token={settings.start_token}"
    yield f"Chalkpoint is at http://{LOCAL}:{settings.port}/{first}"
    for name in settings.public:
        yield f"Behind its proxy it is at https://{name}/work"
    if settings.lan:
        hosts = [*(f"{name}.local" for name in settings.names), _address()]
        yield f"Pupils go to {' or '.join(f'http://{host}:{settings.port}/room' for host in hosts)}"


def _listen(host: str, port: int) -> socket.socket:
    """Return the socket, bound before anything else is done, so that a taken port is said at once.

    It says that it speaks TCP: only then does the event loop send small answers without waiting for more, which
    would cost each page 40 ms.
    """
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        if os.name == "posix":  # elsewhere this would let another program take the port too
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((host, port))
        listening.listen(BACKLOG)
    except OSError as reason:
        listening.close()
        raise EntryError(
            f"port {port} cannot be listened on ({reason.strerror}); close what uses it, or give another --port"
        ) from reason
    return listening


def _who(store: Store) -> str:
    """Return as whom a teacher signs in."""
    with store.read() as db:
        names = teachers.with_passwords(db)
    return f"Sign in as {' or '.join(names)}"


def _need_password(store: Store, ask_password: Callable[[], str]) -> None:
    with store.read() as db:
        if teachers.any_password(db):
            return
    password = ask_password()
    with store.write() as db:
        teachers.set_password(db, teachers.local_teacher(db), password)


def _address() -> str:
    """Return this machine's address on its network, as far as it knows; nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address kept for examples: it only chooses the way out
            return str(probe.getsockname()[0])
        except OSError:
            return LOCAL
