"""Chromium without a window, told what to do over two pipes (Chrome DevTools Protocol, `--remote-debugging-pipe`)."""

from __future__ import annotations

import json
import os
import select
import shutil
import subprocess
import tempfile
import time
from typing import Any, Self

PROGRAM = shutil.which("chromium")

WAIT = 60.0
"""Seconds in which an answer must come."""


class Browser:
    """One window with one page."""

    def __init__(self) -> None:
        assert PROGRAM is not None
        self._folder = tempfile.TemporaryDirectory(prefix="coldiron-browser-", ignore_cleanup_errors=True)
        theirs, self._write = os.pipe()
        self._read, out = os.pipe()
        options = (
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-first-run",
            f"--user-data-dir={self._folder.name}",
        )
        command = f'exec "$0" "$@" 3<&{theirs} 4>&{out}'
        words = [PROGRAM, *options, "--remote-debugging-pipe", "about:blank"]
        self._process = subprocess.Popen(
            ["/bin/bash", "-c", command, *words], pass_fds=(theirs, out), stderr=subprocess.DEVNULL
        )
        os.close(theirs)
        os.close(out)
        self._left, self._count, self._session = b"", 0, ""
        pages = self._call("Target.getTargets")["targetInfos"]
        page = next(one["targetId"] for one in pages if one["type"] == "page")
        self._session = self._call("Target.attachToTarget", targetId=page, flatten=True)["sessionId"]

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._process.kill()
        self._process.wait()
        os.close(self._write)
        os.close(self._read)
        self._folder.cleanup()

    def _call(self, method: str, **given: Any) -> dict[str, Any]:
        self._count += 1
        message = {"id": self._count, "method": method, "params": given}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._write, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._message()
            if answer.get("id") == self._count:
                assert "error" not in answer, answer
                found: dict[str, Any] = answer["result"]
                return found

    def _message(self) -> dict[str, Any]:
        end = time.monotonic() + WAIT
        while b"\0" not in self._left:
            ready, _, _ = select.select([self._read], [], [], max(0.0, end - time.monotonic()))
            assert ready, "the browser does not answer"
            self._left += os.read(self._read, 1 << 20)
        first, _, self._left = self._left.partition(b"\0")
        found: dict[str, Any] = json.loads(first)
        return found

    def size(self, width: int, height: int) -> None:
        """Make the window so large, in px, as a phone."""
        self._call("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=True)

    def go(self, address: str) -> None:
        """Load a page."""
        self._call("Page.navigate", url=address)
        self.wait()

    def wait(self) -> None:
        """Wait until the page stands, and one frame is drawn."""
        end = time.monotonic() + WAIT
        while self.run("document.readyState") != "complete":
            assert time.monotonic() < end
            time.sleep(0.02)

    def run(self, script: str) -> Any:
        """Run a script in the page, and return what it comes to."""
        result = self._call("Runtime.evaluate", expression=script, returnByValue=True)
        assert "exceptionDetails" not in result, result
        return result["result"].get("value")

    def press(self, script: str) -> None:
        """Click what a script gives, and wait for the page that it leads to."""
        self.run("window.old = true")
        self.run(f"({script}).click()")
        end = time.monotonic() + WAIT
        while self.run("window.old === true || document.readyState !== 'complete'"):
            assert time.monotonic() < end, self.run("document.body.innerText")
            time.sleep(0.02)
