"""Commands of the program as processes of their own, forked from one that has loaded its modules already.

Starting Python and loading them takes longer than most commands do, and so does the floor of a scenario that many
tests ask about: those that are shipped are in the caches that every command is forked with. What is forked has its
own environment, folder, streams and end, as a command that is started has. What Python itself reads at its start
(`PYTHON…`, the locale) is left to a real start.
"""

from __future__ import annotations

import atexit
import functools
import json
import os
import socket
import subprocess
import sys
import tempfile
from typing import IO

_SERVER = """
import importlib, io, json, os, pkgutil, socket, sys
import anchorcalc, jinja2, reportlab.pdfgen.canvas, rich.console, rich.table, rich.text
for each in pkgutil.walk_packages(anchorcalc.__path__, "anchorcalc."):
    if not each.name.endswith("__main__"):
        importlib.import_module(each.name)
from anchorcalc.catalog.tables import Catalog
from anchorcalc.cli import main
from anchorcalc.resources import data_folder
from anchorcalc.rig.resolve import resolve
from anchorcalc.scenario.read import read_scenario
from anchorcalc.verdict.check import check_rig

# The floors of the shipped scenarios are worked out once for all that is forked.
for path in sorted(data_folder("scenarios").glob("*.yaml")):
    catalog = Catalog()
    check_rig(resolve(read_scenario(path, catalog=catalog), catalog))

def command(told, streams):
    for number, stream in enumerate(streams):
        os.dup2(stream, number)
    os.chdir(told["folder"])
    os.environ.clear()
    os.environ.update(told["environment"])
    sys.stdin = io.TextIOWrapper(io.FileIO(0), "utf-8", errors="surrogateescape")
    sys.stdout = io.TextIOWrapper(io.BufferedWriter(io.FileIO(1, "w")), "utf-8", errors="surrogateescape")
    sys.stderr = io.TextIOWrapper(io.BufferedWriter(io.FileIO(2, "w")), "utf-8", "backslashreplace", write_through=True)
    sys.argv = ["anchorcalc", *told["arguments"]]
    try:
        main()
    except SystemExit as end:
        status = end.code if isinstance(end.code, int) else 0 if end.code is None else 1
    except BaseException:
        import traceback
        traceback.print_exc()
        status = 1
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except (OSError, ValueError):
            pass
    os._exit(status)

asked = socket.socket(fileno=int(sys.argv[1]))
while True:
    told, streams, _, _ = socket.recv_fds(asked, 1 << 20, 3)
    if not told:
        break
    child = os.fork()
    if not child:
        command(json.loads(told), streams)
    for stream in streams:
        os.close(stream)
    asked.sendall(str(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])).encode())
"""


@functools.cache
def _server() -> socket.socket:
    """The socket of a process that forks a command for each it is told; it ends with the tests."""
    ours, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
    server = subprocess.Popen([sys.executable, "-c", _SERVER, str(theirs.fileno())], pass_fds=[theirs.fileno()],
                     env={**os.environ, "PYTHONUTF8": "1"})  # fmt: skip
    theirs.close()

    def end() -> None:
        ours.close()
        server.wait()

    atexit.register(end)
    return ours


def _written(text: str | None) -> IO[bytes]:
    file = tempfile.TemporaryFile()  # noqa: SIM115 - closed by who asked for it
    if text is not None:
        file.write(text.encode())
        file.seek(0)
    return file


def forked(*arguments: str, stdin: str | None, environment: dict[str, str]) -> subprocess.CompletedProcess[str]:
    """A command to its end, in a process of its own."""
    told = json.dumps({"arguments": arguments, "folder": os.getcwd(), "environment": environment})
    with _written(stdin) as read, _written(None) as out, _written(None) as err:
        socket.send_fds(_server(), [told.encode()], [read.fileno(), out.fileno(), err.fileno()])
        status = int(_server().recv(64))
        texts = []
        for stream in (out, err):
            stream.seek(0)
            texts.append(stream.read().decode().replace("\r\n", "\n"))
    return subprocess.CompletedProcess(["anchorcalc", *arguments], status, *texts)
