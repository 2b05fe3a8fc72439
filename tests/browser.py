"""A real browser without a window, driven over a pipe: opens a page, measures, prints, and keeps its complaints."""

from __future__ import annotations

import base64
import contextlib
import fcntl
import json
import os
import select
import shutil
import subprocess
import time
from pathlib import Path
from typing import Any, Self

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
_PATIENCE = 60.0  # [s] for one answer


class Browser:
    """Chromium with one tab. Its debugging protocol runs over file descriptors 3 and 4, one JSON text a message."""

    def __init__(self, profile: Path) -> None:
        assert BROWSER is not None
        to_browser, self._write = os.pipe()
        self._read, from_browser = os.pipe()
        # High numbers first, so that putting one end into its place never runs over the other.
        ends = [fcntl.fcntl(end, fcntl.F_DUPFD_CLOEXEC, 20) for end in (to_browser, from_browser)]
        arguments = [
            "--headless", "--no-sandbox", "--disable-gpu", "--remote-debugging-pipe", "--no-first-run",
            "--disable-background-networking", "--disable-extensions", f"--user-data-dir={profile}", "about:blank",
        ]  # fmt: skip
        self._process = subprocess.Popen(
            [BROWSER, *arguments], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, close_fds=False,
            preexec_fn=lambda: [os.dup2(end, place) for end, place in zip(ends, (3, 4), strict=True)],
        )  # fmt: skip
        for end in (to_browser, from_browser, *ends):
            os.close(end)
        self._buffer = b""
        self._count = 0
        self.events: list[dict[str, Any]] = []
        self._session: str | None = None
        try:
            self._attach()
        except BaseException:
            self._process.kill()
            self._process.wait()
            raise

    def _attach(self) -> None:
        target = next(each for each in self._ask("Target.getTargets")["targetInfos"] if each["type"] == "page")
        attached = self._ask("Target.attachToTarget", targetId=target["targetId"], flatten=True)
        self._session = attached["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self._ask(f"{domain}.enable")

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        with contextlib.suppress(OSError, TimeoutError, RuntimeError):
            self._session = None
            self._ask("Browser.close")
        try:
            self._process.wait(timeout=10)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        os.close(self._write)
        os.close(self._read)

    def open(self, path: Path, width: int, *, dark: bool = False) -> None:
        """Load a file into a tab `width` pixels wide."""
        self.events.clear()
        self._ask(
            "Emulation.setDeviceMetricsOverride", width=width, height=800, deviceScaleFactor=1, mobile=width < 600
        )
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self._ask("Emulation.setEmulatedMedia", features=[scheme])
        self._ask("Page.navigate", url=path.resolve().as_uri())
        self._wait_for("Page.loadEventFired")

    def value(self, expression: str) -> Any:
        """What an expression is worth in the page."""
        found = self._ask("Runtime.evaluate", expression=expression, returnByValue=True)
        assert "exceptionDetails" not in found, found
        return found["result"]["value"]

    def awaited(self, expression: str) -> Any:
        """What a promise of the page comes to."""
        found = self._ask("Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True)
        assert "exceptionDetails" not in found, found
        return found["result"]["value"]

    def complaints(self) -> list[str]:
        """Errors and warnings the browser wrote to its console since the page was opened."""
        logged = [each["params"]["entry"]["text"] for each in self.events if each["method"] == "Log.entryAdded"]
        thrown = [str(each["params"]) for each in self.events if each["method"] == "Runtime.exceptionThrown"]
        called = [str(each["params"]["args"]) for each in self.events if each["method"] == "Runtime.consoleAPICalled"]
        return logged + thrown + called

    def asked_for(self) -> list[str]:
        """Addresses that the page made the browser fetch."""
        return [
            each["params"]["request"]["url"] for each in self.events if each["method"] == "Network.requestWillBeSent"
        ]

    def pdf(self, *, letter: bool = True) -> bytes:
        """The page as printed."""
        width, height = (8.5, 11.0) if letter else (8.27, 11.69)
        printed = self._ask("Page.printToPDF", paperWidth=width, paperHeight=height, printBackground=True)
        return base64.b64decode(printed["data"])

    def picture(self) -> bytes:
        """The whole page as PNG."""
        return base64.b64decode(self._ask("Page.captureScreenshot", captureBeyondViewport=True)["data"])

    def _ask(self, method: str, **parameters: Any) -> dict[str, Any]:
        self._count += 1
        message: dict[str, Any] = {"id": self._count, "method": method, "params": parameters}
        if self._session is not None:
            message["sessionId"] = self._session
        os.write(self._write, json.dumps(message).encode() + b"\0")
        wanted = self._count
        while True:
            answer = self._next()
            if answer.get("id") == wanted:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")
                result: dict[str, Any] = answer["result"]
                return result
            if "method" in answer:
                self.events.append(answer)

    def _wait_for(self, method: str) -> None:
        while not any(each["method"] == method for each in self.events):
            answer = self._next()
            if "method" in answer:
                self.events.append(answer)

    def _next(self) -> dict[str, Any]:
        until = time.monotonic() + _PATIENCE
        while b"\0" not in self._buffer:
            ready, _, _ = select.select([self._read], [], [], max(until - time.monotonic(), 0.0))
            if not ready:
                raise TimeoutError("the browser does not answer")
            piece = os.read(self._read, 1 << 16)
            if not piece:
                raise RuntimeError("the browser has ended")
            self._buffer += piece
        text, self._buffer = self._buffer.split(b"\0", 1)
        message: dict[str, Any] = json.loads(text)
        return message
