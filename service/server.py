"""The service on its address, until it is stopped."""

from __future__ import annotations

import socket
import webbrowser
from collections.abc import Callable

import uvicorn

from service.app import check_data_folder, create_app
from service.errors import FileError
from service.settings import Settings

_STOP_S = 3
"""Open streams of events are cut after this; nothing is lost with them."""


def serve(settings: Settings, say: Callable[[str], None], *, browser: bool) -> None:
    """Serve until the process is told to stop.

    Parameters
    ----------
    say
        Told the address once it answers.
    browser
        Whether to open it in the machine's browser.

    Raises
    ------
    FileError
        If the data folder or the port cannot be used.
    """
    check_data_folder(settings)
    listener = _listener(settings)
    host, port = listener.getsockname()[:2]
    address = f"http://[{host}]:{port}/" if ":" in host else f"http://{host}:{port}/"

    def started() -> None:
        say(address)
        if browser:
            webbrowser.open(address)

    config = uvicorn.Config(
        create_app(settings),
        log_level="warning",
        timeout_graceful_shutdown=_STOP_S,
        server_header=False,
        proxy_headers=False,
    )
    try:
        _Server(config, started).run(sockets=[listener])
    except KeyboardInterrupt:
        pass  # how it is meant to be stopped
    finally:
        listener.close()


class _Server(uvicorn.Server):
    def __init__(self, config: uvicorn.Config, started: Callable[[], None]) -> None:
        super().__init__(config)
        self._on_started = started

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self.started:
            self._on_started()


def _listener(settings: Settings) -> socket.socket:
    family = socket.AF_INET6 if ":" in settings.host else socket.AF_INET
    # Told its protocol, or the event loop leaves small answers to wait some 40 ms for an
    # acknowledgement: it turns that off only on sockets that say they are TCP.
    listener = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((settings.host, settings.port))
        listener.listen(128)
    except OSError as error:
        listener.close()
        where = f"{settings.host}:{settings.port}"
        raise FileError(
            "--port", "", f"cannot listen on {where}: {error.strerror}; choose another port"
        ) from None
    return listener
