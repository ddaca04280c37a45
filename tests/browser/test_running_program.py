"""The program behind the browser tests listens where nobody else does."""

import socket

from tests.browser.running_program import free_port


def test_a_free_port_can_be_listened_on() -> None:
    port = free_port()

    with socket.create_server(("127.0.0.1", port)) as listener:
        assert listener.getsockname() == ("127.0.0.1", port)
