"""Edwards25519 by hand, for signatures that no honest signer makes.

Source: RFC 8032 section 5.1 (the curve, keys and signatures of Ed25519).
"""

from hashlib import sha512

from ledger.log.keys import SecretKey

P = 2**255 - 19
ORDER = 2**252 + 27742317777372353535851937790883648493
D = -121665 * pow(121666, P - 2, P) % P
ROOT_OF_MINUS_ONE = pow(2, (P - 1) // 4, P)
IDENTITY = (0, 1)
# How the neutral point is written, and how a careless writer might write it.
NEUTRAL = (1).to_bytes(32, "little")
NEUTRAL_AGAIN = (P + 1).to_bytes(32, "little")

Point = tuple[int, int]


def added(a: Point, b: Point) -> Point:
    """Add two points of the curve."""
    x, y, u, v = *a, *b
    cross = D * x * u * y * v % P
    over = pow(1 + cross, P - 2, P), pow(1 - cross, P - 2, P)
    return (x * v + y * u) * over[0] % P, (y * v + x * u) * over[1] % P


def times(number: int, point: Point) -> Point:
    """Add a point to itself so many times."""
    total = IDENTITY
    while number:
        if number & 1:
            total = added(total, point)
        point, number = added(point, point), number >> 1
    return total


def point_of(raw: bytes) -> Point:
    """Read a point that is written as RFC 8032 writes it."""
    whole = int.from_bytes(raw, "little")
    y, sign = whole & (1 << 255) - 1, whole >> 255
    square = (y * y - 1) * pow(D * y * y + 1, P - 2, P) % P
    x = pow(square, (P + 3) // 8, P)
    if x * x % P != square:
        x = x * ROOT_OF_MINUS_ONE % P
    return (P - x if x & 1 != sign else x), y


def written(point: Point) -> bytes:
    """Write a point as RFC 8032 does."""
    x, y = point
    return (y | (x & 1) << 255).to_bytes(32, "little")


BASE = point_of((4 * pow(5, P - 2, P) % P).to_bytes(32, "little"))
# A point of order eight: added to a key it leaves a multiple of eight as it was.
EIGHTH = point_of(
    bytes.fromhex("26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05")
)


def scalar(secret: SecretKey) -> int:
    """Return the number by which a key signs."""
    low = bytearray(sha512(secret.seed).digest()[:32])
    low[0] &= 248
    low[31] = low[31] & 127 | 64
    return int.from_bytes(low, "little")


def over_order(signature: bytes) -> bytes:
    """Return the same signature with the order added to S; RFC 8032 forbids it."""
    number = int.from_bytes(signature[32:], "little") + ORDER
    return signature[:32] + number.to_bytes(32, "little")


def signed(
    secret: SecretKey, message: bytes, *, r: bytes = NEUTRAL, key: bytes = b""
) -> bytes:
    """Sign with the nonce nought, whose R is the neutral point, written as `r` says.

    `key` is the public key under which it is to verify, if not the secret's own.
    """
    raw = key or secret.public.raw
    number = int.from_bytes(sha512(r + raw + message).digest(), "little")
    s = number * scalar(secret) % ORDER
    return r + s.to_bytes(32, "little")


def mixed(secret: SecretKey) -> bytes:
    """Return a key's public half with a point of order eight added to it."""
    return written(added(point_of(secret.public.raw), EIGHTH))


def signed_mixed(secret: SecretKey, message: bytes, *, fits: bool) -> bytes:
    """Sign so that it verifies under the mixed key without cofactor, or only with it.

    It fits where the hash is a multiple of eight, which one message in eight is.
    """
    raw = mixed(secret)
    for nonce in range(1, 500):
        r = written(times(nonce, BASE))
        number = int.from_bytes(sha512(r + raw + message).digest(), "little")
        if (number % ORDER % 8 == 0) == fits and (number % 8 == 0) == fits:
            s = (nonce + number * scalar(secret)) % ORDER
            return r + s.to_bytes(32, "little")
    raise AssertionError("no nonce under 500 would do")
