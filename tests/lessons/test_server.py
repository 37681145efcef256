"""The lessons' server: on this computer's own address only, behind its key, whatever a configuration file says."""

from __future__ import annotations

import json
import os
import socket
import sys
import urllib.error
import urllib.request
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from jupyter_client.blocking import BlockingKernelClient

from plusway.lessons.connection import AtOnce
from plusway.lessons.server import arguments, encrypted, with_commands, workspaces
from plusway.lessons.shelf import Shelf

from ..conftest import ask_server

pytestmark = pytest.mark.slow

WEAK = """
c.ServerApp.ip = "0.0.0.0"
c.ServerApp.allow_remote_access = True
c.IdentityProvider.token = ""
c.ServerApp.token = ""
c.PasswordIdentityProvider.hashed_password = ""
"""


def ask(url: str) -> int:
    """The status of a GET."""
    try:
        with urllib.request.urlopen(url, timeout=30) as answer:
            return int(answer.status)
    except urllib.error.HTTPError as error:
        error.close()
        return error.code


def test_the_server_answers_only_to_its_key(lab: Any) -> None:
    """The printed address opens; the same without the key, or with another, is forbidden."""
    parts = urlsplit(lab.url)
    api = f"{parts.scheme}://{parts.netloc}/api/contents"
    assert parts.hostname == "127.0.0.1"
    assert len(lab.token) >= 32
    assert ask(lab.url) == 200
    assert ask(f"{api}?token={lab.token}") == 200
    assert ask(api) == 403
    assert ask(f"{api}?token={lab.token[:-1]}") == 403


@pytest.mark.skipif(not encrypted(), reason="this Jupyter's server and kernel can't encrypt")
def test_a_kernel_talks_in_cipher_and_warns_of_nothing_in_the_terminal(make_lab: Callable[..., Any], tmp_path: Path) -> None:
    """Server and kernel have a pair of keys for each other, and the kernel answers; the student's terminal stays empty."""
    lab = make_lab(tmp_path / "lessons", home=tmp_path)
    kernel = ask_server(lab.url, lab.token, "api/kernels", "POST", {"name": "python3"})
    held = json.loads((tmp_path / "runtime" / f"kernel-{kernel['id']}.json").read_text(encoding="utf-8"))
    assert len(held["curve_publickey"]) == 40
    client = BlockingKernelClient(connection_file=str(tmp_path / "runtime" / f"kernel-{kernel['id']}.json"))
    client.load_connection_file()
    client.start_channels()
    try:
        client.wait_for_ready(timeout=60)
    finally:
        client.stop_channels()
    assert (tmp_path / "lab.log").read_text(encoding="utf-8") == ""


def test_the_server_listens_on_this_computer_only(lab: Any) -> None:
    """Another address of this computer refuses the connection."""
    port = urlsplit(lab.url).port
    assert port is not None
    with socket.socket() as knock:
        knock.settimeout(5)
        assert knock.connect_ex(("127.0.0.2", port)) != 0


def test_the_key_is_in_no_list_of_processes(lab: Any) -> None:
    """Other users of the computer see the command, not the key."""
    listed = Path(f"/proc/{lab.process.pid}/cmdline")
    if not listed.exists():
        pytest.skip("this system shows no command lines under /proc")
    assert lab.token.encode() not in listed.read_bytes()


def test_no_configuration_file_can_weaken_it(make_lab: Callable[..., Any], tmp_path: Path,
                                             monkeypatch: pytest.MonkeyPatch) -> None:
    """A configuration that takes the key away and opens the network is outranked."""
    (tmp_path / "config").mkdir()
    (tmp_path / "config" / "jupyter_server_config.py").write_text(WEAK, encoding="utf-8")
    (tmp_path / "config" / "jupyter_lab_config.py").write_text(WEAK, encoding="utf-8")
    monkeypatch.setenv("JUPYTER_CONFIG_PATH", str(tmp_path / "config"))
    weak = make_lab(tmp_path / "lessons")
    parts = urlsplit(weak.url)
    assert ask(f"{parts.scheme}://{parts.netloc}/api/contents") == 403
    with socket.socket() as knock:
        knock.settimeout(5)
        assert knock.connect_ex(("127.0.0.2", parts.port)) != 0


def test_a_taken_port_is_named_at_once(lab: Any, plusway: Callable[..., Any], tmp_path: Path) -> None:
    """--port N with N in use: one line, exit code 2."""
    port = urlsplit(lab.url).port
    done = plusway("learn", "--no-browser", "--folder", str(tmp_path / "x"), "--port", str(port))
    assert (done.returncode, done.stdout) == (2, "")
    assert f"--port {port}: Address already in use" in done.stderr
    assert done.stderr.count("\n") == 1


HERE = str(Path(sys.executable).parent)


@pytest.mark.parametrize(("before", "after"), [
    (["/usr/bin", "/bin"], [HERE, "/usr/bin", "/bin"]),
    (["/usr/bin", HERE], [HERE, "/usr/bin"]),
    ([HERE], [HERE]),
    ([], [HERE]),
], ids=["a shell that does not know this environment", "one that has it last", "one that has nothing else", "no path at all"])
def test_a_terminal_of_the_lessons_finds_plusway(before: list[str], after: list[str]) -> None:
    """The commands beside this Python come first, once, and all others stay in their order."""
    assert with_commands(os.pathsep.join(before)).split(os.pathsep) == after


def test_without_a_port_a_taken_one_is_passed_over() -> None:
    """Two students on one computer each get a server: the usual port is tried first, then others."""
    assert "--ServerApp.port_retries=50" in arguments(Shelf(Path("x"), (), ()), None)
    assert "--ServerApp.port_retries=0" in arguments(Shelf(Path("x"), (), ()), 9000)


def test_what_stood_open_in_another_folder_stays_there(make_lab: Callable[..., Any], tmp_path: Path) -> None:
    """What JupyterLab remembers of one folder's open notebooks is not told to the next; the same folder finds it again."""
    assert workspaces(tmp_path / "a") == workspaces(tmp_path / "a") != workspaces(tmp_path / "b")
    home = tmp_path / "home"
    home.mkdir()
    open_there = {"data": {"layout-restorer:data": {"main": {"dock": {"widgets": ["notebook:02-two-hanging-bodies.ipynb"]}}}},
                  "metadata": {"id": "default"}}

    def remembered(server: Any, remember: bool) -> Any:
        parts = urlsplit(server.url)
        headers = {"Authorization": f"token {server.token}", "Content-Type": "application/json"}
        where = f"{parts.scheme}://{parts.netloc}/lab/api/workspaces/default"
        if remember:
            urllib.request.urlopen(urllib.request.Request(where, json.dumps(open_there).encode(), headers, method="PUT"), timeout=30).close()
        with urllib.request.urlopen(urllib.request.Request(where, headers=headers), timeout=30) as answer:
            return json.load(answer)["data"]

    assert remembered(make_lab(tmp_path / "a", home=home), True) == open_there["data"]
    assert remembered(make_lab(tmp_path / "b", home=home), False) == {}
    assert remembered(make_lab(tmp_path / "a", home=home), False) == open_there["data"]


def test_ctrl_c_stops_it(make_lab: Callable[..., Any], tmp_path: Path) -> None:
    """One Ctrl-C is enough, and nothing listens any more."""
    short = make_lab(tmp_path / "lessons")
    short.stop()
    with socket.socket() as knock:
        assert knock.connect_ex(("127.0.0.1", urlsplit(short.url).port)) != 0


@pytest.mark.parametrize(("user", "allowed"), [(0, True), (1000, False)])
def test_only_the_superuser_is_let_in_as_one(user: int, allowed: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """--allow-root stands in the arguments only where the user is root."""
    monkeypatch.setattr(os, "geteuid", lambda: user, raising=False)
    assert ("--allow-root" in arguments(Shelf(Path("x"), (), ()), None)) is allowed


def test_what_the_server_says_of_itself_is_json(lab: Any) -> None:
    """--json gives the address, the folder and the lessons on one line (the fixture has read it)."""
    with urllib.request.urlopen(f"{lab.url.partition('/lab')[0]}/api/status?token={lab.token}", timeout=30) as answer:
        assert json.load(answer)["kernels"] >= 0


def test_no_message_to_the_page_waits_for_another(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The server is told to use a connection that sends at once, and that tells its socket so before anything is sent."""
    options = [o for o in arguments(Shelf(tmp_path, (), ()), None) if "kernel_websocket_connection_class" in o]
    assert options == [f"--ServerApp.kernel_websocket_connection_class={AtOnce.__module__}.{AtOnce.__name__}"]
    done: list[object] = []

    class Handler:
        def set_nodelay(self, value: bool) -> None:
            done.append(value)

    monkeypatch.setattr(AtOnce, "websocket_handler", Handler())
    monkeypatch.setattr(AtOnce.__mro__[1], "connect", lambda self: done.append("connected"))
    AtOnce.connect(AtOnce.__new__(AtOnce))
    assert done == [True, "connected"]
