# SPDX-License-Identifier: Apache-2.0
"""The server under test, and its own description of itself (docs/openapi.json) to hold its answers to."""
import http.client
import json
import os
import re
import signal
import socket
import subprocess

import jsonschema

from program import PROGRAM, ROOT

TOML = {"Content-Type": "application/toml"}
OPENAPI = json.loads((ROOT / "docs" / "openapi.json").read_text(encoding="utf-8"))


class Reply:
    def __init__(self, response, body):
        self.status, self.headers, self.body = response.status, response.headers, body

    def json(self):
        return json.loads(self.body)

    def codes(self):
        return [one["code"] for one in self.json()["diagnostics"]]


class Server:
    """`garthwright serve` on a free port of loopback; end() makes sure that it is gone."""

    def __init__(self, *words, **environment):
        self.process = subprocess.Popen([PROGRAM, "serve", "--port", "0", *map(str, words)], stdout=subprocess.PIPE,
                                        stderr=subprocess.PIPE, cwd=ROOT, env={**os.environ, **environment})
        said = self.process.stdout.readline().decode()
        found = re.search(r"http://(?:127\.0\.0\.1|\[::1\]|0\.0\.0\.0):(\d+)/", said)
        if not found:
            self.process.wait(10)
            raise AssertionError(f"the server did not say where it is: {said!r} {self.process.stderr.read()!r}")
        self.port = int(found.group(1))

    def connect(self, timeout=120):
        return http.client.HTTPConnection("127.0.0.1", self.port, timeout=timeout)

    def ask(self, method, path, body=None, headers=None, connection=None):
        mine = connection or self.connect()
        try:
            sent = body.encode() if isinstance(body, str) else body
            mine.request(method, path, sent, {**(TOML if sent is not None else {}), **(headers or {})})
            response = mine.getresponse()
            return Reply(response, response.read())
        finally:
            if connection is None:
                mine.close()

    def raw(self, data, timeout=30):
        """Everything the server sends back for these bytes, until it closes."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=timeout) as link:
            try:
                link.sendall(data)
            except OSError:
                pass  # it hung up while we were still sending
            answer = b""
            try:
                while part := link.recv(65536):
                    answer += part
            except ConnectionResetError:
                pass
            return answer

    def end(self, how=signal.SIGTERM, timeout=60):
        """The exit status, and what was said on standard error."""
        if self.process.poll() is None:
            self.process.send_signal(how)
        try:
            _, said = self.process.communicate(timeout=timeout)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.communicate()
            raise
        return self.process.returncode, said.decode(errors="replace")


def resolved(node):
    while "$ref" in node:
        target = OPENAPI
        for key in node["$ref"].removeprefix("#/").split("/"):
            target = target[key]
        node = target
    return node


def template_of(path):
    """The path of the description that this one is an instance of."""
    plain = path.split("?")[0]
    for template in OPENAPI["paths"]:
        if re.fullmatch(re.sub(r"\{\w+\}", "[^/]+", template), plain) and template != "/api/v1/files/{file}":
            return template
    return "/api/v1/files/{file}" if plain.startswith("/api/v1/files/") else None


def validator(schema):
    return jsonschema.Draft202012Validator({**schema, "components": OPENAPI["components"]})


def faults(method, path, reply):
    """What is not as docs/openapi.json has it, as a list of words; and the (path, method, status) that was looked at."""
    template = template_of(path)
    operation = OPENAPI["paths"].get(template, {}).get(method.lower())
    if operation is None:
        return [f"{method} {path} is not described"], None
    status = str(reply.status)
    key = status if status in operation["responses"] else "default"
    described = resolved(operation["responses"][key])
    wrong = [f"{name} is missing" for name in described.get("headers", {})
             if name not in reply.headers and not (name == "Retry-After" and reply.status != 503)
             # An answer that is not whole has no tag: it is not the answer of another time.
             and not (name == "ETag" and reply.headers.get("Cache-Control") == "no-store")]
    content = described.get("content")
    kind = (reply.headers.get("Content-Type") or "").split(";")[0]
    if content is None:
        wrong += [f"{len(reply.body)} bytes where no body is described"] if reply.body else []
    elif kind not in content and "*/*" not in content:
        wrong.append(f"Content-Type {kind} is none of {list(content)}")
    elif kind in content and kind in ("application/json", "application/x-ndjson"):
        schema = content[kind].get("schema", {})
        values = [reply.body] if kind == "application/json" else reply.body.splitlines()
        wrong += [f"{list(error.absolute_path)}: {error.message[:300]}" for value in values for error in
                  validator(schema).iter_errors(json.loads(value))]
    return wrong, (template, method.lower(), key)
