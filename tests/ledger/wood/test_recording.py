"""Tests of reading recordings: every common kind, and each fault by its name."""

import struct
from collections.abc import Callable
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest
import soundfile

from ledger.errors import NotFoundError, RefusedError
from ledger.wood import recording
from ledger.wood.recording import read_recording

VECTORS = Path(__file__).parents[2] / "vectors" / "wood"
KINDS = [
    ("WAV", "PCM_U8", 8, 2**-7),
    ("WAV", "PCM_16", 16, 2**-15),
    ("WAV", "PCM_24", 24, 2**-23),
    ("WAVEX", "PCM_24", 24, 2**-23),
    ("WAV", "PCM_32", 32, 2**-31),
    ("WAV", "FLOAT", None, 2**-24),
    ("WAV", "DOUBLE", None, 0),
    ("FLAC", "PCM_16", 16, 2**-15),
    ("FLAC", "PCM_24", 24, 2**-23),
    ("AIFF", "PCM_16", 16, 2**-15),
]
RATES = [8_000, 44_100, 48_000, 96_000, 192_000]
Kept = Callable[..., Path]


@pytest.fixture
def kept(tmp_path: Path) -> Kept:
    """Give a recorder that keeps two channels, the second half as loud."""

    def keep(container: str, subtype: str, rate: int = 48_000) -> Path:
        path = tmp_path / "tap"  # what is in a file is not told by its name
        soundfile.write(path, tone(rate), rate, format=container, subtype=subtype)
        return path

    return keep


def tone(rate: int) -> npt.NDArray[np.float64]:
    """Return a tenth of a second of 440 Hz on two channels."""
    times = np.arange(rate // 10) / rate
    sound = 0.5 * np.sin(2 * np.pi * 440 * times)
    return np.stack([sound, sound / 2], axis=1)


@pytest.mark.parametrize(("container", "subtype", "bits", "step"), KINDS)
def test_every_common_kind_of_recording_is_read(
    kept: Kept, container: str, subtype: str, bits: int | None, step: float
) -> None:
    """Samples come back to half a step of their depth, channels apart."""
    read = read_recording(kept(container, subtype))

    assert (read.bits, read.rate, read.channels) == (bits, 48_000, 2)
    assert read.container == container.removesuffix("EX")
    assert read.samples.shape == (2, 4_800)
    assert np.max(np.abs(read.samples - tone(48_000).T)) <= step


@pytest.mark.parametrize("rate", RATES)
def test_every_common_rate_is_read(kept: Kept, rate: int) -> None:
    """From a telephone's 8 kHz to 192 kHz."""
    assert read_recording(kept("FLAC", "PCM_16", rate)).rate == rate


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("empty.wav", "is empty"),
        ("no-samples.wav", "holds no sound at all"),
        ("silence.wav", "has no sound"),
        ("no-recording.wav", "is no recording that can be read"),
        ("cut-off.wav", "is cut off: its part 'data' lacks 13244 bytes"),
        ("cut-off.flac", "is damaged or cut off"),
    ],
)
def test_what_is_no_whole_recording_is_refused(name: str, why: str) -> None:
    """Each fault is told in one sentence that names the file."""
    with pytest.raises(RefusedError, match=why) as refusal:
        read_recording(VECTORS / name)

    assert name in str(refusal.value)
    assert "\n" not in str(refusal.value)


@pytest.mark.parametrize(("container", "subtype", "bits", "step"), KINDS)
def test_no_recording_can_be_cut_without_notice(
    kept: Kept, container: str, subtype: str, bits: int | None, step: float
) -> None:
    """Wherever it ends too early, a file is refused and nothing else happens."""
    path = kept(container, subtype)
    data = path.read_bytes()
    for count in {*range(0, 120, 7), len(data) // 3, len(data) - 3, len(data) - 1}:
        path.write_bytes(data[:count])
        with pytest.raises(RefusedError):
            read_recording(path)


@pytest.mark.parametrize("place", range(0, 44, 4))
def test_a_damaged_header_is_refused_or_harmless(kept: Kept, place: int) -> None:
    """No four bytes of a header, set to the largest number, bring down the reader."""
    path = kept("WAV", "PCM_16")
    data = bytearray(path.read_bytes())
    data[place : place + 4] = b"\xff\xff\xff\xff"
    path.write_bytes(data)
    try:
        read = read_recording(path)
    except RefusedError:
        return

    assert read.samples.shape[1] <= len(data)


def test_a_recording_that_claims_to_be_endless_is_never_loaded(kept: Kept) -> None:
    """A FLAC header may count to 2^36; it is believed, and refused for it."""
    path = kept("FLAC", "PCM_16")
    data = bytearray(path.read_bytes())
    (low,) = struct.unpack(">I", data[22:26])
    assert low == 4_800
    data[21] |= 0x0F
    data[22:26] = b"\xff\xff\xff\xff"
    path.write_bytes(data)

    with pytest.raises(RefusedError, match="1431656 s long on 2 channels"):
        read_recording(path)


def test_a_long_recording_is_refused_by_its_header(
    kept: Kept, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where more than is allowed was recorded, the taps are to be cut out."""
    path = kept("WAV", "PCM_16")
    monkeypatch.setattr(recording, "LONGEST", 0.09)

    with pytest.raises(RefusedError, match="cut out the taps"):
        read_recording(path)


@pytest.mark.parametrize(
    ("container", "subtype"), [("OGG", "VORBIS"), ("WAV", "ULAW"), ("CAF", "PCM_16")]
)
def test_other_kinds_are_refused_by_name(
    kept: Kept, container: str, subtype: str
) -> None:
    """What loses something in storing, or is unusual, is not measured on."""
    with pytest.raises(RefusedError, match=f"is {container} with {subtype} samples"):
        read_recording(kept(container, subtype))


def test_unusual_rates_and_many_channels_are_refused(tmp_path: Path) -> None:
    """Below 8 kHz too little is left; nine channels are no tap recording."""
    slow, wide = tmp_path / "slow.wav", tmp_path / "wide.wav"
    soundfile.write(slow, np.ones(100) / 2, 4_000)
    soundfile.write(wide, np.ones((100, 9)) / 2, 48_000)

    with pytest.raises(RefusedError, match="4000 samples a second"):
        read_recording(slow)
    with pytest.raises(RefusedError, match="9 channels of at most 8"):
        read_recording(wide)


def test_samples_that_are_no_numbers_are_refused(tmp_path: Path) -> None:
    """A floating-point file can hold what is no number."""
    path = tmp_path / "tap.wav"
    soundfile.write(path, np.array([0.1, np.nan, 0.2]), 48_000, subtype="FLOAT")

    with pytest.raises(RefusedError, match="no numbers"):
        read_recording(path)


def test_what_follows_the_samples_is_no_fault(kept: Kept) -> None:
    """Recorders append remarks after the samples, not always by the rules."""
    path = kept("WAV", "PCM_16")
    path.write_bytes(path.read_bytes() + b"ID3\x03 a remark")

    assert read_recording(path).samples.shape == (2, 4_800)


def test_no_file_and_a_folder_are_told_apart_from_a_recording(tmp_path: Path) -> None:
    """What is not there was never recorded."""
    with pytest.raises(NotFoundError, match="there is no file"):
        read_recording(tmp_path / "none.wav")
    with pytest.raises(NotFoundError, match="there is no file"):
        read_recording(tmp_path)
