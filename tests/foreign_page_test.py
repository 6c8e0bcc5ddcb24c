#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""A page of another origin, open in a real browser beside the server: whatever it sends, and however, the person's job
file stays as it is. That the browser does send it is seen on a listener of our own, which takes any bytes."""
import http.server
import json
import os
import socket
import subprocess
import threading
import unittest

from program import EXAMPLES, ProgramTest
from served import Server

CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
ARBOR = next(path for path in EXAMPLES if path.name == "arbor.toml").read_text(encoding="utf-8")

# Each way a page has of sending a body across origins without being asked first; the address is what the server refuses.
PAGE = """<!doctype html><title>elsewhere</title><script>
const here = "http://127.0.0.1:PORT", body = BODY, long = "a".repeat(9000);
const send = (path, more) => fetch(here + path, {method: "POST", mode: "no-cors", body, ...more});
const form = path => {
  const frame = document.createElement("iframe"), form = document.createElement("form");
  frame.name = "frame" + Math.random();
  Object.assign(form, {action: here + path, method: "POST", enctype: "text/plain", target: frame.name});
  const field = document.createElement("textarea");
  field.name = "a";
  field.value = body;
  form.append(field);
  document.body.append(frame, form);
  return new Promise(done => { frame.onload = done; form.submit(); });
};
const ways = [
  () => send("/" + long), () => send("/?" + long), () => send("/"), () => send("/api/v1/plan"), () => send("/api/v1/jobs/mine"),
  () => send("/nowhere"), () => send("/" + long, {credentials: "include"}), () => send("/" + long, {keepalive: true}),
  () => send("/", {headers: {"Accept-Language": "a".repeat(120), Range: "bytes=0-1"}}),
  () => send("/api/v1/plan", {body: new Blob([body], {type: "text/plain"})}),
  () => { navigator.sendBeacon(here + "/" + long, body); }, () => form("/" + long), () => form("/api/v1/jobs/mine"),
];
onload = async () => {
  for (const way of ways) {
    try { await Promise.race([way(), new Promise(done => setTimeout(done, 5000))]); } catch {}
    await new Promise(done => setTimeout(done, 100));
  }
  fetch("/done?" + ways.length);
};
</script><body></body>"""


class Listener:
    """Takes whatever comes on any connection, and answers 414 without closing, as a careless server would."""

    def __init__(self):
        self.bytes = b""
        self.socket = socket.create_server(("127.0.0.1", 0))
        self.port = self.socket.getsockname()[1]
        threading.Thread(target=self.accept, daemon=True).start()

    def accept(self):
        while True:
            try:
                link, _ = self.socket.accept()
            except OSError:
                return
            threading.Thread(target=self.take, args=(link,), daemon=True).start()

    def take(self, link):
        with link:
            link.settimeout(2)
            try:
                while part := link.recv(65536):
                    self.bytes += part
            except TimeoutError:
                link.sendall(b"HTTP/1.1 414 URI Too Long\r\nContent-Length: 0\r\n\r\n")
            except OSError:
                pass


class ForeignPage(ProgramTest):
    def visit(self, port, inner):
        """How many ways the page says that it went."""
        page = PAGE.replace("PORT", str(port)).replace("BODY", json.dumps(inner)).encode()
        done = threading.Event()
        ways = []

        class Elsewhere(http.server.BaseHTTPRequestHandler):
            def do_GET(self):
                self.send_response(200)
                self.send_header("Content-Type", "text/html")
                self.end_headers()
                if self.path.startswith("/done?"):
                    ways.append(int(self.path.split("?")[1]))
                    done.set()
                elif self.path == "/":
                    self.wfile.write(page)

            def log_message(self, *_):
                pass

        with http.server.ThreadingHTTPServer(("127.0.0.1", 0), Elsewhere) as elsewhere:
            threading.Thread(target=elsewhere.serve_forever, daemon=True).start()
            browser = subprocess.Popen(
                [CHROMIUM, "--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-dev-shm-usage",
                 f"--user-data-dir={self.folder / 'profile'}", f"http://127.0.0.1:{elsewhere.server_address[1]}/"],
                stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
            try:
                self.assertTrue(done.wait(150), "the page did not come to its end")
            finally:
                browser.terminate()
                browser.wait(30)
                elsewhere.shutdown()
        return ways[0]

    def test_it_cannot_overwrite_a_job_file(self):
        jobs = self.folder / "jobs"
        jobs.mkdir()
        mine = jobs / "mine.toml"
        mine.write_text(ARBOR, encoding="utf-8")
        server = Server("--jobs-dir", jobs)
        try:
            inner = (f"PUT /api/v1/jobs/mine HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\nContent-Type: application/toml\r\n"
                     "If-Match: *\r\nContent-Length: 9\r\n\r\nx = 'bad'")
            self.assertEqual(13, self.visit(server.port, inner))
            self.assertEqual(ARBOR, mine.read_text(encoding="utf-8"))
            # Sent openly it does write: it is not for its own faults that it did not.
            self.assertIn(b" 204 ", server.raw(inner.replace("If-Match", "Connection: close\r\nIf-Match").encode()))
            self.assertEqual("x = 'bad'", mine.read_text(encoding="utf-8"))
        finally:
            self.assertEqual((0, ""), server.end())

    def test_the_browser_does_send_it(self):
        listener = Listener()
        inner = "PUT /api/v1/jobs/mine HTTP/1.1\r\nIf-Match: *\r\n\r\nx = 'bad'"
        self.visit(listener.port, inner)
        listener.socket.close()
        self.assertGreaterEqual(listener.bytes.count(inner.encode()), 10)


if __name__ == "__main__":
    unittest.main()
