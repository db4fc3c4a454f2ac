"""Where a program of this machine listens: its address in the room, and a port that is free."""

from __future__ import annotations

import contextlib
import errno
import socket

from .. import system
from ..errors import FileTrouble

EVERY_ADDRESS = "is every address at once, and none that a phone could ask for."
TRIED = 20  # ports after the usual one, where that is taken


def own_address() -> str | None:
    """This machine's address on its network, None where it is in none; nothing is sent to find it."""
    with contextlib.suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        asked.connect(("192.0.2.1", 9))  # an address kept for examples (RFC 5737): choosing a way there sends nothing
        return asked.getsockname()[0]
    return None


def bracketed(host: str) -> str:
    return f"[{host}]" if ":" in host else host


def listen(host: str, port: int | None, usual: int) -> socket.socket:
    """A socket on `port`, or on the first free one from the `usual` on."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    trouble = None
    for each in [port] if port is not None else [*range(usual, usual + TRIED), 0]:
        # By its whole name: without the protocol asyncio does not know it for TCP, lets small answers wait to be sent
        # together (Nagle), and each costs 40 ms.
        listening = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        system.share_no_port(listening)
        try:
            listening.bind((host, each))
            listening.listen(64)
            return listening
        except socket.gaierror:
            listening.close()
            raise FileTrouble(
                "this address is not known here.", host,
                f"Name one of this machine's own: {own_address() or 'localhost'}.",
            ) from None  # fmt: skip
        except UnicodeError:
            listening.close()
            raise FileTrouble("this is no address.", host, "Leave --host out, or write it like 192.168.1.20.") from None
        except OSError as said:
            listening.close()
            trouble = said
            if said.errno == errno.EADDRNOTAVAIL:
                raise FileTrouble(
                    "this address belongs to another machine.", host,
                    f"Name one of this machine's own: {own_address() or 'localhost'}.",
                ) from None  # fmt: skip
    why = trouble.strerror if trouble is not None and trouble.strerror else trouble
    raise FileTrouble(f"cannot be used: {why}.", f"{host}, port {port or usual}", "Try another --port.")
