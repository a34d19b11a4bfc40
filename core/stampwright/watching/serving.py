"""The page: served on this machine's own address only, and only to pages that came from there."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from urllib.parse import parse_qs, urlsplit

from ..errors import OutputError, reason_of
from ..looks.colours import MADDER, PAPER
from ..output import html_page
from .board import Board

HOST = "127.0.0.1"

WAITING = 20.0
"""Seconds that a page waits for a change before it asks again."""

_SCRIPT = f"""<p id="trouble" role="alert" hidden style="position:sticky;top:0;margin:0;padding:3mm;\
font:4mm sans-serif;background:{MADDER};color:{PAPER}"></p>
<script>
const main = document.querySelector('main'), trouble = document.querySelector('#trouble');
document.body.prepend(trouble);
function say(words) {{ trouble.textContent = words; trouble.hidden = !words; }}
async function follow() {{
  for (let number = -1, body = null;;) {{
    try {{
      const answer = await fetch('/changes?after=' + number, {{cache: 'no-store'}});
      const shown = await answer.json();
      if (shown.body !== body) main.innerHTML = body = shown.body;
      number = shown.number;
      document.title = shown.title;
      say(shown.trouble && shown.trouble + (body ? '. This is the last good sheet.' : ''));
    }} catch (gone) {{
      say('Stampwright is not watching any more. This is its last sheet.');
      await new Promise(done => setTimeout(done, 1000));
    }}
  }}
}}
follow();
</script>
"""

_POLICY = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; connect-src 'self'; img-src data:"


@contextmanager
def serving(board: Board, port: int = 0) -> Iterator[str]:
    """Serve a board as a page, and give its address; 0 takes any port that is free.

    Raises :class:`~stampwright.errors.OutputError` when the port cannot be had.
    """
    try:
        server = _Server((HOST, port), _Handler)
    except OSError as error:
        raise OutputError(f"port {port}: cannot be served on ({reason_of(error)}); name another, or none") from error
    server.board = board
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.1}, daemon=True)
    thread.start()
    try:
        yield f"http://{HOST}:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()


class _Server(ThreadingHTTPServer):
    """Serves each page in a thread of its own; pages that wait do not keep the program from ending."""

    daemon_threads = True
    block_on_close = False
    board: Board


class _Handler(BaseHTTPRequestHandler):
    server: _Server

    def do_GET(self) -> None:
        """Answer with the page, or with what is shown once it has changed."""
        own = {f"{name}:{self.server.server_port}" for name in (HOST, "localhost")}
        # Another site's page may reach this address by a name of its own; what it asks for is not given.
        if self.headers.get("Host") not in own:
            self.send_error(HTTPStatus.FORBIDDEN)
            return
        asked = urlsplit(self.path)
        if asked.path == "/":
            shown = self.server.board.shown_after(-1, 0.0)
            self._send("text/html; charset=utf-8", html_page(shown.title, "", _SCRIPT))
        elif asked.path == "/changes":
            shown = self.server.board.shown_after(_number(asked.query), WAITING)
            self._send("application/json", json.dumps(shown.as_record()))
        else:
            self.send_error(HTTPStatus.NOT_FOUND)

    def _send(self, kind: str, content: str) -> None:
        held = content.encode()
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(held)))
        self.send_header("Cache-Control", "no-store")
        self.send_header("Content-Security-Policy", _POLICY)
        self.send_header("X-Content-Type-Options", "nosniff")
        self.end_headers()
        try:
            self.wfile.write(held)
        except OSError:
            self.close_connection = True  # the page was closed meanwhile

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing: whoever watches looks at the page."""


def _number(query: str) -> int:
    told = parse_qs(query).get("after", [""])[0]
    return int(told) if told.lstrip("-").isdecimal() and len(told) < 12 else -1
