"""A host as hosts are: files of a folder, Brotli or gzip, HTTP/2 over TLS 1.3 or plain HTTP/1.1.

As a module it serves until it is ended:
`python -m bench.server FOLDER HOST PORT RECORD [CERT KEY]`.
"""

from __future__ import annotations

import asyncio
import gzip
import mimetypes
import socket
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

import brotli
from hypercorn.asyncio import serve
from hypercorn.config import Config

HERE = "127.0.0.1"
ENCODINGS = (b"br", b"gzip")
"""The better first; a browser accepts Brotli (RFC 7932) over TLS only."""
APART = 0.001
"""Seconds."""
UNZIPPED = ("image/png", "image/x-icon", "font/woff2")
SMALL_RECORD, LARGE_RECORD = 1_300, 16_384
"""Bytes of a body in one TLS record. A browser can read none of a record before all of it is there.

On a new connection many hosts write records as small as a packet, so that text shows while the rest
is on its way; others fill the 16 KiB of RFC 8446, 5.1. Which do so is common practice, no source.
"""
ROBOTS = b"User-agent: *\nAllow: /\n"


class Folder:
    """An ASGI application: GET of the files below a folder."""

    def __init__(self, folder: Path, record: int) -> None:
        """`record`: bytes of a body that go out at once."""
        self._folder = folder.resolve()
        self._record = record

    async def __call__(self, scope: dict[str, Any], receive: Any, send: Any) -> None:
        if scope["type"] != "http":
            return
        accepted = dict(scope["headers"]).get(b"accept-encoding", b"").split(b", ")
        status, kind, body = self._found(scope["path"])
        headers = [(b"content-type", kind.encode()), (b"cache-control", b"no-cache")]
        if kind not in UNZIPPED:
            encoding = next(each for each in ENCODINGS if each in accepted or each == b"gzip")
            body = _zipped(body, encoding)
            headers.append((b"content-encoding", encoding))
        headers.append((b"content-length", str(len(body)).encode()))
        await send({"type": "http.response.start", "status": status, "headers": headers})
        for start in range(0, len(body), self._record):
            part = body[start : start + self._record]
            is_last = start + self._record >= len(body)
            await send({"type": "http.response.body", "body": part, "more_body": not is_last})
            # Else the server would put this part and the next into one record.
            await asyncio.sleep(APART)

    def _found(self, path: str) -> tuple[int, str, bytes]:
        file = (self._folder / path.lstrip("/")).resolve()
        if path.endswith("/"):
            file /= "index.html"
        if path == "/robots.txt" and not file.exists():
            return 200, "text/plain", ROBOTS
        if not file.is_relative_to(self._folder) or not file.is_file():
            return 404, "text/plain", b"not here\n"
        kind = mimetypes.guess_type(file.name)[0] or "application/octet-stream"
        charset = "; charset=utf-8" if kind.startswith("text/") else ""
        return 200, kind + charset, file.read_bytes()


@cache
def _zipped(body: bytes, encoding: bytes) -> bytes:
    return brotli.compress(body) if encoding == b"br" else gzip.compress(body, 9, mtime=0)


@contextmanager
def served(
    folder: Path,
    *,
    within: Sequence[str] = (),
    host: str = HERE,
    record: int = LARGE_RECORD,
    tls: tuple[Path, Path] | None = None,
) -> Iterator[str]:
    """The address of a server of `folder`, while it runs.

    `within` begins the command that starts it; `tls` are the files of a certificate and its key,
    `record` how many bytes of a file go into one TLS record.
    """
    port = _free_port()
    files = [str(file) for file in tls or ()]
    command = [*within, sys.executable, "-m", "bench.server", str(folder), host, str(port)]
    command += [str(record), *files]
    running = subprocess.Popen(
        command, cwd=Path(__file__).parents[1], stdout=subprocess.PIPE, text=True
    )
    try:
        assert running.stdout is not None
        if running.stdout.readline() != "ready\n":
            raise RuntimeError(f"the server ended: {' '.join(command)}")
        yield f"{'https' if tls else 'http'}://{host}:{port}/"
    finally:
        running.kill()
        running.wait(20)


def _free_port() -> int:
    with socket.socket() as free:
        free.bind((HERE, 0))
        port: int = free.getsockname()[1]
        return port


def certificate(folder: Path, host: str) -> tuple[Path, Path]:
    """A certificate of our own for the address `host` and its key, written into `folder`."""
    files = folder / "cert.pem", folder / "key.pem"
    command = ["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256"]
    command += [
        "-nodes",
        "-days",
        "2",
        "-subj",
        "/CN=bench",
        "-addext",
        f"subjectAltName=IP:{host}",
    ]
    command += ["-out", str(files[0]), "-keyout", str(files[1])]
    subprocess.run(command, check=True, capture_output=True)
    return files


async def _run(folder: Path, host: str, port: int, record: int, tls: Sequence[str]) -> None:
    config = Config()
    config.bind = [f"{host}:{port}"]
    config.include_server_header = False
    config.accesslog = config.errorlog = None
    if tls:
        config.certfile, config.keyfile = tls
    task = asyncio.create_task(serve(Folder(folder, record), config))  # type: ignore[arg-type]
    end = time.monotonic() + 20
    while time.monotonic() < end and not task.done():
        try:
            _, writer = await asyncio.open_connection(host, port)
        except OSError:
            await asyncio.sleep(0.05)
            continue
        writer.close()
        print("ready", flush=True)
        break
    await task


if __name__ == "__main__":
    _, folder_, host_, port_, record_, *tls_ = sys.argv
    asyncio.run(_run(Path(folder_), host_, int(port_), int(record_), tls_))
