"""JupyterLab on this computer's own address, with its key, showing a student's folder."""

from __future__ import annotations

import hashlib
import json
import os
import secrets
import socket
import sys
import threading
import webbrowser
from contextlib import redirect_stderr
from pathlib import Path
from typing import Any
from urllib.parse import quote

from ..autograde.errors import UsageError
from .shelf import Shelf
from .terminal import unguarded

LOOPBACK = "127.0.0.1"
USUAL_PORT = 8888
SETTINGS = Path(__file__).parent / "jupyter"


def serve(shelf: Shelf, *, port: int | None = None, browser: bool = True, as_json: bool = False) -> None:
    """Serve until Ctrl-C. Prints the address on standard output, as JSON {url, folder, lessons} where asked.

    Raises UsageError for a port that can't be had.
    """
    if port is not None:
        _must_be_free(port)
    # The kernel must be this Python, which has plusway, and not one that the user registered under the same name.
    os.environ.setdefault("JUPYTER_PREFER_ENV_PATH", "1")
    os.environ["PATH"] = with_commands(os.environ.get("PATH", ""))
    # A student's JupyterLab shows neither a teacher's tools nor news; every other JupyterLab stays as it is.
    given = os.environ.get("JUPYTER_CONFIG_PATH")
    os.environ["JUPYTER_CONFIG_PATH"] = os.pathsep.join([str(SETTINGS), *([given] if given else [])])
    from jupyterlab.labapp import LabApp

    with redirect_stderr(unguarded(sys.stderr)):  # the server's own log, which is coloured on a terminal
        app = LabApp.initialize_server(argv=arguments(shelf, port))

    def announce() -> None:
        url = address(app, shelf)
        if as_json:
            print(json.dumps({"url": url, "folder": str(shelf.folder), "lessons": list(shelf.lessons)}), flush=True)
        else:
            print(f"The lessons are in {shelf.folder}\nThey are open at\n\n    {url}\n\nCtrl-C stops them.", flush=True)
        if browser:
            threading.Thread(target=_show, args=(url,), daemon=True).start()

    app.io_loop.add_callback(announce)  # it runs after the callback that starts listening, so the address answers
    app.start()


def with_commands(path: str) -> str:
    """The search path with the commands beside this Python first: so that a terminal of this JupyterLab, and `!plusway` in a cell, find plusway
    also where its environment is not the shell's, as after `lessons/open`."""
    here = str(Path(sys.executable).parent)
    return os.pathsep.join([here, *(place for place in path.split(os.pathsep) if path and place != here)])


def arguments(shelf: Shelf, port: int | None) -> list[str]:
    """The server's own settings. They outrank every configuration file, so that none opens it up.

    They are handed over inside this process, so the key is in no list of processes.
    """
    chosen = [
        f"--ServerApp.ip={LOOPBACK}",
        f"--ServerApp.port={USUAL_PORT if port is None else port}",
        f"--ServerApp.port_retries={0 if port is not None else 50}",
        f"--ServerApp.root_dir={shelf.folder}",
        "--ServerApp.open_browser=False",
        "--ServerApp.answer_yes=True",
        "--ServerApp.allow_remote_access=False",
        "--ServerApp.log_level=ERROR",
        f"--ServerApp.kernel_websocket_connection_class={__package__}.connection.AtOnce",
        *encrypted(),
        f"--IdentityProvider.token={secrets.token_urlsafe(32)}",
        "--LabApp.log_level=ERROR",
        "--LabApp.news_url=None",
        f"--LabApp.workspaces_dir={workspaces(shelf.folder)}",
        # They would complain that a student's folder is no course.
        *(f"--ServerApp.jpserver_extensions=nbgrader.server_extensions.{tool}=False"
          for tool in ("formgrader", "validate_assignment", "assignment_list", "course_list")),
    ]
    # Jupyter refuses to run as root unless told; containers and classroom machines often are.
    return chosen + (["--allow-root"] if hasattr(os, "geteuid") and os.geteuid() == 0 else [])


def encrypted() -> list[str]:
    """The setting by which server and kernel encrypt what they say to each other, where this Jupyter can: a kernel that can't be overheard
    by another user of the machine has nothing to warn of in the student's terminal."""
    from jupyter_server.services.kernels.kernelmanager import ServerKernelManager
    from traitlets import TraitError

    if "transport_encryption" not in ServerKernelManager.class_trait_names():
        return []
    try:
        ServerKernelManager(transport_encryption="auto")
    except TraitError:  # the messaging library was built without encryption
        return []
    return ["--KernelManager.transport_encryption=auto"]


def workspaces(folder: Path) -> Path:
    """Where JupyterLab remembers which notebooks stood open. Its own place is one for all of a user's folders, and since a lesson has the
    same name in each, a fresh folder would open, and start, those that stood open in another."""
    from jupyterlab.commands import get_workspaces_dir

    name = hashlib.sha256(os.fsencode(folder)).hexdigest()[:16]
    return Path(get_workspaces_dir()) / "plusway" / name


def address(app: Any, shelf: Shelf) -> str:
    """Where the first lesson opens, key included."""
    page = f"/tree/{quote(shelf.lessons[0])}" if shelf.lessons else ""
    return f"http://{LOOPBACK}:{app.port}{app.base_url}lab{page}?token={app.identity_provider.token}"


def _must_be_free(port: int) -> None:
    if not 0 < port < 65536:
        raise UsageError(f"--port {port}: a port is a number from 1 to 65535")
    with socket.socket() as probe:
        if os.name == "posix":
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((LOOPBACK, port))
        except OSError as error:
            raise UsageError(f"--port {port}: {error.strerror or error}; leave --port out to take a free one") from None


def _show(url: str) -> None:
    """Open the browser; where there is none, the printed address is enough."""
    if not webbrowser.open(url):
        print("No browser could be opened; open the address above yourself.", file=sys.stderr)
