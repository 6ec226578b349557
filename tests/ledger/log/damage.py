"""How bytes go wrong: one flipped, one lost, one doubled, or cut off."""

from collections.abc import Iterator, Sequence


def flipped(data: bytes) -> Iterator[bytes]:
    """Yield the bytes with a bit of each in turn flipped, another bit each time."""
    for n, byte in enumerate(data):
        yield data[:n] + bytes([byte ^ 1 << n % 8]) + data[n + 1 :]


def bits_flipped(data: bytes) -> Iterator[bytes]:
    """Yield the bytes with every single bit in turn flipped."""
    for n, byte in enumerate(data):
        for bit in range(8):
            yield data[:n] + bytes([byte ^ 1 << bit]) + data[n + 1 :]


def damaged(data: bytes) -> Iterator[bytes]:
    """Yield the bytes with each in turn flipped, lost or cut off there."""
    yield from flipped(data)
    for n in range(len(data)):
        yield data[:n] + data[n + 1 :]
        yield data[:n]


def broken_paths(path: Sequence[bytes]) -> Iterator[list[bytes]]:
    """Yield a path with each hash in turn flipped, dropped, doubled or swapped."""
    for n, node in enumerate(path):
        turned = bytes([node[0] ^ 1]) + node[1:]
        yield [*path[:n], turned, *path[n + 1 :]]
        yield [*path[:n], *path[n + 1 :]]
        yield [*path[:n], node, *path[n:]]
        yield [*path[:n], node[:-1], *path[n + 1 :]]
        if n and path[n - 1] != node:
            yield [*path[: n - 1], node, path[n - 1], *path[n + 1 :]]
    yield [*path, b"\x00" * 32]
