"""A real browser, without a window, spoken to through pipes by its DevTools protocol."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import time
from pathlib import Path
from types import TracebackType
from typing import Any

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


class Browser:
    """Chromium with one page open; commands go in on descriptor 3, answers come out on 4, each ended by a zero."""

    def __init__(self, profile: Path, address: str) -> None:
        commands, self._commands = os.pipe()
        self._answers, answers = os.pipe()
        # The descriptors must be 3 and 4 whatever they are here; moving them up first keeps them apart.
        words = [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--remote-debugging-pipe"]
        words += [f"--user-data-dir={profile}", "--no-first-run"]
        self._process = subprocess.Popen(
            ["bash", "-c", f'exec "$0" "$@" 3<&{commands} 4>&{answers}', *map(str, words)],
            pass_fds=(commands, answers),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(commands)
        os.close(answers)
        self._held, self._number, self._session = b"", 0, ""
        page = self.call("Target.createTarget", url=address)["targetId"]
        self._session = self.call("Target.attachToTarget", targetId=page, flatten=True)["sessionId"]

    def call(self, method: str, **parameters: Any) -> dict[str, Any]:
        """Return what a command of the protocol gives."""
        self._number += 1
        told = {"id": self._number, "method": method, "params": parameters}
        if self._session:
            told["sessionId"] = self._session
        os.write(self._commands, json.dumps(told).encode() + b"\0")
        while True:
            while b"\0" not in self._held:
                more = os.read(self._answers, 65536)
                if not more:
                    raise RuntimeError("the browser has ended")
                self._held += more
            message, self._held = self._held.split(b"\0", 1)
            answer = json.loads(message)
            if answer.get("id") == self._number:
                result: dict[str, Any] = answer["result"]
                return result

    def value(self, expression: str) -> Any:
        """Return what an expression of its page's script gives."""
        return self.call("Runtime.evaluate", expression=expression, returnByValue=True)["result"].get("value")

    def wait_for(self, expression: str, seconds: float = 60.0) -> Any:
        """Return what an expression gives as soon as it is true."""
        last = time.monotonic() + seconds
        while not (value := self.value(expression)):
            if time.monotonic() > last:
                raise TimeoutError(f"{expression} stayed {value!r}; the page: {self.value('document.body.innerText')}")
            time.sleep(0.1)
        return value

    def __enter__(self) -> Browser:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, _: TracebackType | None) -> None:
        os.close(self._commands)
        os.close(self._answers)
        self._process.terminate()
        self._process.wait(20)
