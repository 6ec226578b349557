"""Files in which nothing is signed, such as a scan of a paper, and files too large.

They are neither true nor forged: who takes the signed file out of a page leaves no
claim behind that could be refused.
"""

# No file is read beyond that [bytes].
LARGEST_READ = 64 * 1_048_576
# The key in the stream's dictionary behind which a PDF holds the certificate file.
MARKER = b"/FLBK_Certificate"
# What every object that is signed names its form by.
FORM = b"flitchbook-"
TOO_LARGE = f"a file of over {LARGEST_READ} bytes is not read"
NOTHING_SIGNED = (
    "nothing signed is found in this file: a scan, a print or a picture holds no "
    "signature; ask for the file itself, or type the digits of the card"
)


def nothing_to_judge(data: bytes) -> str | None:
    """Say why a file is neither true nor false, or return None where it may be."""
    if len(data) > LARGEST_READ:
        return TOO_LARGE
    if data.startswith(b"%PDF-"):
        return None if MARKER in data else NOTHING_SIGNED
    return None if data.startswith(b"{") or FORM in data else NOTHING_SIGNED
