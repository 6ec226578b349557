"""Write the recordings of taps that tests and demonstration hear, byte for byte.

Boards ring here by addition: decaying sines at the frequencies of a computed plate, the
click of a knuckle, hum and noise, all from integer seeds. Run it in the project's root:

    python -m tests.vectors.wood.make

What each recording holds is said in SESSIONS; the others must be refused. WAV files
are the same bytes everywhere. The bytes of a FLAC file depend on the encoder, and only
its samples are the same everywhere.
"""

import io
import math
import sys
import wave
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt
import soundfile

Sound = npt.NDArray[np.float64]
# Of each mode: frequency in Hz, Q and amplitude.
Modes = tuple[tuple[float, float, float], ...]

HERE = Path(__file__).parent
STORY = HERE.parents[2] / "demo" / "recordings"
# A spruce half set of 550 x 200 x 4 mm; density 400 kg/m3, E along 11 GPa, across
# 0.85 GPa, G 0.75 GPa, Poisson 0.37. Source: own Rayleigh-Ritz solution, computed.
HALF: Modes = (
    (52.319, 90, 0.8),
    (71.291, 110, 1.0),
    (127.827, 80, 0.4),
    (150.511, 60, 0.7),
)
# The two halves of the invented shop's top, 559 x 203 x 4.2 mm, much like that one.
HALF_A: Modes = (
    (51.312, 92, 0.8),
    (70.138, 112, 1.0),
    (125.904, 81, 0.4),
    (147.627, 61, 0.7),
)
HALF_B: Modes = (
    (50.966, 88, 0.8),
    (69.571, 105, 1.0),
    (125.087, 78, 0.4),
    (146.214, 58, 0.7),
)
# Two modes that lie 3.6 % apart.
CLOSE: Modes = ((187.3, 60, 1.0), (194.0, 45, 0.5))
# Two that lie within a third of their width.
TWINS: Modes = ((187.3, 60, 1.0), (188.0, 45, 0.6))


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """One recording: which board is tapped, when, how loud, and what else is heard."""

    seed: int
    modes: Modes = HALF
    rate: int = 8000  # Hz
    at: tuple[float, ...] = (0.4, 2.4, 4.5, 6.4, 8.5)  # s
    again: tuple[
        tuple[int, float], ...
    ] = ()  # which tap is hit again, after how many s
    seconds: float = 10.5
    level: float = 0.5  # of full scale
    noise_db: float = 40.0  # below the peak of a tap
    hum: float = 0.0
    click: float = 0.3


SESSIONS = {
    "half-set.flac": Session(
        seed=1, rate=44100, at=(0.4, 2.0, 3.7, 5.2, 6.8), seconds=8.4
    ),
    "half-set-noisy.wav": Session(seed=2, noise_db=20.0),
    "half-set-hum.wav": Session(seed=3, hum=0.05),
    "close-modes.flac": Session(
        seed=4,
        rate=48000,
        modes=CLOSE,
        noise_db=30.0,
        at=(0.2, 1.0, 1.9, 2.7, 3.6),
        seconds=4.4,
    ),
    "one-double-hit.wav": Session(seed=5, again=((2, 0.12),)),
    "only-double-hits.wav": Session(
        seed=6, at=(0.4, 2.4), again=((0, 0.08), (1, 0.15)), seconds=4.5
    ),
    "twin-modes.wav": Session(seed=7, modes=TWINS, at=(0.3, 1.5), seconds=2.7),
    "clipped.wav": Session(seed=8, level=2.5, at=(0.4, 2.4), seconds=4.5),
    "noise-only.wav": Session(seed=9, at=(), seconds=3.0, noise_db=10.0),
    "hum-only.wav": Session(seed=10, at=(), seconds=3.0, hum=0.3),
    "silence.wav": Session(seed=11, at=(), seconds=1.0, level=0.0),
}


# What the demonstration hears; kept where it looks for it.
OF_THE_STORY = {
    "top-half-a.wav": Session(seed=21, modes=HALF_A),
    "top-half-b.wav": Session(seed=22, modes=HALF_B),
}


def ringing(modes: Modes, *, seconds: float, rate: int, seed: int) -> Sound:
    """Return one tap of a board, its highest peak being 1."""
    chance = np.random.RandomState(seed)
    times = np.arange(math.ceil(seconds * rate)) / rate
    sound = np.zeros(len(times))
    for frequency, q, amplitude in modes:
        phase = chance.uniform(0, 2 * math.pi)
        decay = np.exp(-math.pi * frequency / q * times)
        swing = np.sin(2 * math.pi * frequency * times + phase)
        sound += amplitude * chance.uniform(0.7, 1.3) * decay * swing
    return np.asarray(sound / np.max(np.abs(sound)), dtype=np.float64)


def click(*, rate: int, seed: int) -> Sound:
    """Return the knock of a knuckle, over in three milliseconds."""
    chance = np.random.RandomState(seed)
    count = math.ceil(0.003 * rate)
    fading = np.exp(-np.arange(count) / (0.0007 * rate))
    return np.asarray(chance.uniform(-1, 1, count) * fading, dtype=np.float64)


def played(session: Session) -> Sound:
    """Return the whole recording, before a recorder limits it to full scale."""
    chance, rate = np.random.RandomState(session.seed), session.rate
    count = round(session.seconds * rate)
    hits = [(start, 1.0) for start in session.at]
    hits += [(session.at[which] + after, 0.8) for which, after in session.again]
    sound = np.zeros(count)
    for number, (start, share) in enumerate(sorted(hits)):
        seed, place = 1000 * session.seed + number, round(start * rate)
        seconds = (count - place) / rate
        tap = ringing(session.modes, seconds=seconds, rate=rate, seed=seed)
        knock = click(rate=rate, seed=seed)
        tap[: len(knock)] += session.click * knock
        loud = session.level * share * chance.uniform(0.7, 1.0)
        sound[place:] += loud * tap[: count - place]
    noise = session.level * 10 ** (-session.noise_db / 20)
    sound += noise * chance.standard_normal(count)
    return np.asarray(sound + hum(session), dtype=np.float64)


def hum(session: Session) -> Sound:
    """Return the mains, with two of its harmonics."""
    times = np.arange(round(session.seconds * session.rate)) / session.rate
    lines = [
        share * np.sin(2 * math.pi * 50.02 * harmonic * times + harmonic)
        for harmonic, share in ((1, 1.0), (2, 0.5), (3, 0.6))
    ]
    return np.asarray(session.hum * np.sum(lines, axis=0), dtype=np.float64)


def sixteen_bits(sound: Sound) -> npt.NDArray[np.int16]:
    """Return the samples as a recorder keeps them, limited to full scale."""
    scaled = np.round(np.clip(sound, -1, 1 - 2**-15) * 2**15)
    return np.asarray(scaled, dtype=np.int16)


def wav(sound: Sound, rate: int) -> bytes:
    """Return a WAV file of 16 bits."""
    file = io.BytesIO()
    with wave.open(file, "wb") as writer:
        writer.setnchannels(1)
        writer.setsampwidth(2)
        writer.setframerate(rate)
        writer.writeframes(sixteen_bits(sound).astype("<i2").tobytes())
    return file.getvalue()


def flac(sound: Sound, rate: int) -> bytes:
    """Return a FLAC file of 16 bits."""
    file = io.BytesIO()
    soundfile.write(file, sixteen_bits(sound), rate, format="FLAC", subtype="PCM_16")
    return file.getvalue()


def vectors() -> dict[str, bytes]:
    """Return every recording by its name."""
    made = {}
    for name, session in SESSIONS.items():
        sound = played(session)
        write = flac if name.endswith(".flac") else wav
        made[name] = write(sound, session.rate)
    made["cut-off.wav"] = made["twin-modes.wav"][:30_000]
    made["cut-off.flac"] = made["close-modes.flac"][:20_000]
    made["no-recording.wav"] = b"Board 03, tapped on Tuesday; the recorder was off.\n"
    made["empty.wav"] = b""
    made["no-samples.wav"] = wav(np.zeros(0), 8000)
    return made


def of_the_story() -> dict[str, bytes]:
    """Return the recordings of the demonstration by their names."""
    return {name: wav(played(s), s.rate) for name, s in OF_THE_STORY.items()}


def main() -> None:
    """Write every recording beside this file, or where the demonstration has it."""
    for folder, made in ((HERE, vectors()), (STORY, of_the_story())):
        for name, data in made.items():
            (folder / name).write_bytes(data)
            sys.stdout.write(f"{name}: {len(data)} bytes\n")


if __name__ == "__main__":
    main()
