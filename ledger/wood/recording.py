"""Reading a recording of taps: what is no recording, or no whole one, is refused.

The header is judged before the samples are loaded, so that a file which claims to be
endless costs nothing.
"""

import math
import struct
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import soundfile

from ledger.errors import NotFoundError, RefusedError

CONTAINERS = {"WAV": "WAV", "WAVEX": "WAV", "FLAC": "FLAC", "AIFF": "AIFF"}
BITS = {
    "PCM_U8": 8,
    "PCM_S8": 8,
    "PCM_16": 16,
    "PCM_24": 24,
    "PCM_32": 32,
    "FLOAT": None,
    "DOUBLE": None,
}
SLOWEST_RATE, FASTEST_RATE = 8_000, 192_000  # Hz
LONGEST = 600  # s
MOST_CHANNELS = 8
MOST_SAMPLES = 60_000_000  # of all channels together
FAINTEST = 1e-4  # of full scale


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Recording:
    """What a microphone heard.

    samples    one row per channel, full scale being 1
    rate       [Hz]
    bits       per sample; none where samples are floating-point numbers
    container  WAV, FLAC or AIFF
    """

    samples: npt.NDArray[np.float64]
    rate: int
    bits: int | None
    channels: int
    container: str


def read_recording(path: Path) -> Recording:
    """Read a WAV, FLAC or AIFF file, or say in one sentence why it cannot be used.

    Rates from 8 to 192 kHz, up to 8 channels, up to 10 minutes.

    Source: IBM and Microsoft, Multimedia Programming Interface and Data Specifications
    1.0 (1991), RIFF; RFC 9639 (FLAC); the limits are the house's own.
    """
    if not path.is_file():
        raise NotFoundError(f"there is no file {path}: name a recording")
    if path.stat().st_size == 0:
        raise RefusedError(f"{path} is empty: record again")
    told = _header(path)
    _require_kind(path, told)
    _require_size(path, told)
    _require_whole(path)
    samples = _samples(path, told)
    if not np.isfinite(samples).all():
        raise RefusedError(f"{path} holds samples that are no numbers: record again")
    if float(np.max(np.abs(samples))) < FAINTEST:
        raise RefusedError(f"{path} has no sound: look at microphone and level")
    return Recording(
        samples=samples,
        rate=told.samplerate,
        bits=BITS[told.subtype],
        channels=told.channels,
        container=CONTAINERS[told.format],
    )


def _header(path: Path) -> Any:
    try:
        return soundfile.info(str(path))
    except (soundfile.LibsndfileError, TypeError, ValueError):
        raise RefusedError(
            f"{path} is no recording that can be read: give a WAV, FLAC or AIFF file"
        ) from None


def _require_kind(path: Path, told: Any) -> None:
    if told.format not in CONTAINERS or told.subtype not in BITS:
        raise RefusedError(
            f"{path} is {told.format} with {told.subtype} samples; only WAV, FLAC and "
            f"AIFF with samples stored whole are read: record or save it so"
        )
    if not SLOWEST_RATE <= told.samplerate <= FASTEST_RATE:
        raise RefusedError(
            f"{path} has {told.samplerate} samples a second, and {SLOWEST_RATE} to "
            f"{FASTEST_RATE} can be used: record again"
        )


def _require_size(path: Path, told: Any) -> None:
    if told.channels > MOST_CHANNELS:
        raise RefusedError(
            f"{path} has {told.channels} channels of at most {MOST_CHANNELS}: "
            f"save one channel"
        )
    if told.frames <= 0:
        raise RefusedError(f"{path} holds no sound at all: record again")
    seconds = told.frames / told.samplerate
    if seconds > LONGEST or told.frames * told.channels > MOST_SAMPLES:
        raise RefusedError(
            f"{path} says it is {math.ceil(seconds)} s long on {told.channels} "
            f"channels; at most {LONGEST} s and {MOST_SAMPLES} samples are read: "
            f"cut out the taps"
        )


def _require_whole(path: Path) -> None:
    """Refuse a file that ends before its own chunks do.

    The library that reads samples takes such a file for a shorter one.
    """
    size = path.stat().st_size
    with path.open("rb") as file:
        order = {b"RIFF": "<", b"FORM": ">"}.get(file.read(4))
        place = 12
        while order and place + 8 <= size:
            file.seek(place)
            name, length = struct.unpack(f"{order}4sI", file.read(8))
            place += 8 + length
            if place > size:
                raise _cut_off(path, name.decode("latin-1").strip(), place - size)
            place += length % 2
            if name in (b"data", b"SSND"):
                return  # what recorders append after the samples is their own affair


def _cut_off(path: Path, what: str, missing: int) -> RefusedError:
    return RefusedError(
        f"{path} is cut off: its part {what!r} lacks {missing} bytes; copy it again "
        f"from the recorder"
    )


def _samples(path: Path, told: Any) -> npt.NDArray[np.float64]:
    try:
        read, _ = soundfile.read(
            str(path), frames=told.frames, dtype="float64", always_2d=True
        )
    except (soundfile.LibsndfileError, ValueError):
        raise RefusedError(
            f"{path} is damaged or cut off: its samples cannot be read to the end; "
            f"copy it again from the recorder"
        ) from None
    if len(read) < told.frames:
        raise RefusedError(
            f"{path} is cut off: {len(read)} samples of {told.frames}; copy it again "
            f"from the recorder"
        )
    return np.ascontiguousarray(np.asarray(read, dtype=np.float64).T)
