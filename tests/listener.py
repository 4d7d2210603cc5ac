"""A server on this machine that notices who calls it."""

from __future__ import annotations

import socket
import threading


class Listener:
    """A web server that would redirect to a file; counts who comes."""

    def __init__(self) -> None:
        self.socket = socket.create_server(("127.0.0.1", 0))
        self.port = self.socket.getsockname()[1]
        self.hits = 0
        threading.Thread(target=self._serve, daemon=True).start()

    def _serve(self) -> None:
        while True:
            try:
                caller, _ = self.socket.accept()
            except OSError:
                return
            self.hits += 1
            caller.recv(4096)
            caller.sendall(b"HTTP/1.1 302 Found\r\nLocation: file:///etc/passwd\r\n\r\n")
            caller.close()
