"""The network between a phone and the yard, as it is in a yard: there, away, or gone in the middle of an answer."""

from __future__ import annotations

import contextlib
import select
import socket
import threading
from typing import Final, Literal

Mode = Literal["there", "away", "cut"]

SHEET: Final = 6000
"""Bytes sent in one go by which a sheet is told from a greeting."""


class Network:
    """Passes bytes between a port of its own and the server's; a sheet that comes while it is `cut` gets no answer.

    Args:
        server: port of the server.
    """

    def __init__(self, server: int) -> None:
        self.mode: Mode = "there"
        self.cuts = 0
        self._server = server
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._listener.getsockname()[1]
        threading.Thread(target=self._accept, daemon=True).start()

    def close(self) -> None:
        """Take no more."""
        self.mode = "away"
        self._listener.close()

    def _accept(self) -> None:
        with contextlib.suppress(OSError):
            while True:
                phone, _ = self._listener.accept()
                threading.Thread(target=self._pass, args=(phone,), daemon=True).start()

    def _pass(self, phone: socket.socket) -> None:
        with contextlib.suppress(OSError), phone:
            if self.mode == "away":
                return
            with socket.create_connection(("127.0.0.1", self._server)) as server:
                self._carry(phone, server)

    def _carry(self, phone: socket.socket, server: socket.socket) -> None:
        said = 0
        while self.mode != "away":
            ready = select.select([phone, server], [], [], 0.05)[0]
            if phone in ready:
                data = phone.recv(65536)
                said = said + len(data) if self.mode == "cut" else 0
                server.sendall(data)
            elif server in ready:
                data = server.recv(65536)
                if self.mode == "cut" and said > SHEET:
                    self.cuts += 1
                    self.mode = "there"
                    return
                phone.sendall(data)
            else:
                continue
            if not data:
                return
