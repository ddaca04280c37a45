"""The server: one listening address, and the program behind it until somebody stops it."""

import errno
import gc
import signal
import socket
from collections.abc import Callable
from types import FrameType

import uvicorn
from fastapi import FastAPI

WAITING_CONNECTIONS = 2048
# A request that never ends must not hold up the end of the program.
SECONDS_TO_FINISH = 2
SECONDS_KEPT_ALIVE = 75  # longer than the pause between two taps, so that the next one finds its connection
STOPS = (signal.SIGTERM, signal.SIGINT)

REASONS = {
    errno.EADDRINUSE: "another program listens there. Stop it, or choose another port with --port",
    errno.EACCES: "only the system's owner may listen there. Choose a port above 1023 with --port",
    errno.EADDRNOTAVAIL: "it is no address of this machine. Name one with --host, such as 127.0.0.1",
}


class CannotListenError(Exception):
    """The address cannot be listened on."""

    def __init__(self, host: str, port: int, reason: str) -> None:
        super().__init__(f"Nothing can be served at {host}, port {port}: {reason}.")


def listen(host: str, port: int) -> socket.socket:
    """Return a socket that listens on the address; browsers may connect from here on.

    Raises: CannotListenError.
    """
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
    except socket.gaierror:
        reason = "no machine of that name is known. Name an address with --host, such as 127.0.0.1"
        raise CannotListenError(host, port, reason) from None
    listener = socket.socket(family, kind, protocol)
    try:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind(address)
        listener.listen(WAITING_CONNECTIONS)
    except OSError as error:
        listener.close()
        reason = REASONS.get(error.errno or 0, f"{error.strerror}. Choose another with --host and --port")
        raise CannotListenError(host, port, reason) from None
    return listener


def serve(application: FastAPI, listener: socket.socket, let_go: Callable[[], None]) -> None:
    """Serve the application until a signal stops it; requests under way are finished.

    `let_go` lets those go who listen without an end, before that is waited for.
    """
    config = uvicorn.Config(
        application,
        loop="uvloop",
        http="httptools",
        ws="none",
        lifespan="auto",
        access_log=False,
        log_level="warning",
        proxy_headers=False,
        server_header=False,
        timeout_keep_alive=SECONDS_KEPT_ALIVE,
        timeout_graceful_shutdown=SECONDS_TO_FINISH,
    )
    gc.freeze()  # what is imported stays for good, and need not be searched for garbage
    gc.enable()
    for stop in STOPS:
        # Sent once more when the server has ended, it must not keep the database from being closed.
        signal.signal(stop, _let_pass)
    _Server(config, let_go).run(sockets=[listener])


class _Server(uvicorn.Server):
    """A server that lets those go who listen to it before it waits for requests to be finished."""

    def __init__(self, config: uvicorn.Config, let_go: Callable[[], None]) -> None:
        super().__init__(config)
        self._let_go = let_go

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """Begin to end."""
        self._let_go()
        super().handle_exit(sig, frame)


def _let_pass(_number: int, _frame: FrameType | None) -> None:
    """Do nothing."""
