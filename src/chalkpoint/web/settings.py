"""What `chalkpoint serve` was told, as far as pages need to know it."""

from __future__ import annotations

import ipaddress
import socket
from dataclasses import dataclass, field

__all__ = ["Settings"]

HOME = ("127.0.0.1", "localhost", "::1")


@dataclass(frozen=True, slots=True)
class Settings:
    """Where the app is served, and to whom.

    lan    whether other machines of the network are let in; then a teacher signs in with a password
    port   where it listens
    names  what this machine is called on its network
    in_a_tab  whether it is no server at all, but runs in the browser that shows it
    public  what a proxy with TLS before the server is called
    start_token  what the printed address carries, so that no other account on this machine is the teacher; "" lets
                 in whoever asks
    """

    lan: bool = False
    port: int = 8000
    names: tuple[str, ...] = field(default_factory=lambda: (socket.gethostname().lower(),))
    start_token: str = ""
    public: tuple[str, ...] = ()
    in_a_tab: bool = False

    @property
    def is_reached_by_others(self) -> bool:
        """Whether others than this machine's own user can reach the server: then a teacher signs in."""
        return self.lan or bool(self.public)

    @property
    def join_address(self) -> str:
        """Where pupils go, as it is written on the board."""
        return f"{self.names[0]}.local:{self.port}"

    def knows_host(self, host: str) -> bool:
        """Tell whether a request may be meant for us: what it calls us is a name of ours.

        A page elsewhere can lead a browser to this machine under a name of its own; it is refused by that name.

        >>> settings = Settings(names=("heron",))
        >>> [settings.knows_host(host) for host in ("127.0.0.1:8000", "localhost", "elsewhere.example", "heron")]
        [True, True, False, False]
        >>> lan = Settings(lan=True, names=("heron",))
        >>> [lan.knows_host(host) for host in ("192.168.4.20:8000", "heron.local", "elsewhere.example")]
        [True, True, False]
        """
        name = _without_port(host.lower())
        if name in HOME or name in self.public:
            return True
        if not self.lan:
            return False
        return name.removesuffix(".local") in self.names or _is_address(name)


def _without_port(host: str) -> str:
    if host.startswith("["):
        return host[1:].partition("]")[0]
    return host.partition(":")[0]


def _is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True
