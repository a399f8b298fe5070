"""A slow connection of real packets: real handshakes, slow start and windows, made slow by hand.

Two network namespaces, each with a TUN device. What one device sends is held back as a link of the
given rate and round trip would, then written to the other. Nothing is lost and the queue has no
end. The kernels' own delay (netem) isn't needed, only root, `ip` and `/dev/net/tun`.
"""

from __future__ import annotations

import fcntl
import heapq
import os
import select
import shutil
import struct
import subprocess
import threading
import time
from contextlib import suppress
from pathlib import Path

TUN = Path("/dev/net/tun")
_TUNSETIFF, _IFF_TUN, _IFF_NO_PI = 0x400454CA, 0x0001, 0x1000
"""From the kernel's `linux/if_tun.h`."""

CLIENT, SERVER = "10.77.0.1", "10.77.0.2"
PACKET = 2048
"""Bytes read at once; the devices' MTU is 1500."""


class NoSlowLink(Exception):
    """This machine or this user can't make one; says what is missing."""


class SlowLink:
    """A link between two namespaces while it is open.

    `client` and `server` are what a command begins with to run on the one end or the other; the
    server's address is `SERVER`. Raises `NoSlowLink` on entering where it can't be made.
    """

    def __init__(self, *, round_trip: float, bits: float) -> None:
        """`round_trip` in seconds without load, `bits` a second in each direction."""
        self.round_trip, self.bits = round_trip, bits
        self._names = [f"stepstop-{os.getpid()}-{end}" for end in ("client", "server")]
        self.client, self.server = (["ip", "netns", "exec", name] for name in self._names)
        self._devices: list[int] = []
        self._is_over = threading.Event()
        self._pump = threading.Thread(target=self._carry, daemon=True)

    def __enter__(self) -> SlowLink:
        require()
        try:
            for name, own, other in zip(
                self._names, (CLIENT, SERVER), (SERVER, CLIENT), strict=True
            ):
                self._devices.append(self._end(name, own, other))
        except BaseException:
            self._remove()
            raise
        self._pump.start()
        return self

    def __exit__(self, *error: object) -> None:
        self._is_over.set()
        self._pump.join()
        self._remove()

    def _end(self, name: str, own: str, other: str) -> int:
        """Make the namespace `name` with its device; the device's file."""
        device = f"step{len(self._devices)}-{os.getpid() % 10**6}"
        _ip("netns", "add", name)
        file = os.open(TUN, os.O_RDWR | os.O_NONBLOCK)
        wanted = struct.pack("16sH22x", device.encode(), _IFF_TUN | _IFF_NO_PI)
        fcntl.ioctl(file, _TUNSETIFF, wanted)
        _ip("link", "set", device, "netns", name)
        _ip("-n", name, "link", "set", "lo", "up")
        _ip("-n", name, "addr", "add", own, "peer", other, "dev", device)
        _ip("-n", name, "link", "set", device, "mtu", "1500", "up")
        # Else a later connection would profit from what an earlier one found out about the path.
        forget = "echo 1 > /proc/sys/net/ipv4/tcp_no_metrics_save"
        subprocess.run(["ip", "netns", "exec", name, "sh", "-c", forget], check=True)
        return file

    def _remove(self) -> None:
        for file in self._devices:
            os.close(file)
        for name in self._names:
            subprocess.run(["ip", "netns", "del", name], stderr=subprocess.DEVNULL, check=False)

    def _carry(self) -> None:
        """Move packets, each when it is due, until the link is closed."""
        first, second = self._devices
        beyond = {first: second, second: first}
        is_free = {first: 0.0, second: 0.0}
        due: list[tuple[float, int, int, bytes]] = []
        count = 0
        while not self._is_over.is_set():
            wait = max(0.0, due[0][0] - time.monotonic()) if due else 0.1
            for source in select.select(self._devices, [], [], min(wait, 0.1))[0]:
                while packet := _read(source):
                    target, now = beyond[source], time.monotonic()
                    sent = max(now, is_free[target]) + len(packet) * 8 / self.bits
                    is_free[target] = sent
                    count += 1
                    heapq.heappush(due, (sent + self.round_trip / 2, count, target, packet))
            while due and due[0][0] <= time.monotonic():
                _, _, target, packet = heapq.heappop(due)
                with suppress(OSError):  # The other end has just been taken down.
                    os.write(target, packet)


def require() -> None:
    """Raise `NoSlowLink` with what is missing here."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        raise NoSlowLink("it takes root to make a network of its own")
    if shutil.which("ip") is None:
        raise NoSlowLink("the command `ip` is missing (Debian: apt-get install iproute2)")
    if not os.access(TUN, os.R_OK | os.W_OK):
        raise NoSlowLink(f"{TUN} is missing, or may not be opened")


def _ip(*words: str) -> None:
    run = subprocess.run(["ip", *words], capture_output=True, text=True, check=False)
    if run.returncode:
        raise NoSlowLink(f"`ip {' '.join(words)}` says: {run.stderr.strip()}")


def _read(file: int) -> bytes:
    """The next packet, or nothing where none waits."""
    try:
        return os.read(file, PACKET)
    except BlockingIOError:
        return b""
