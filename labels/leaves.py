"""The leaves of a paper: how large they are, and each as a paper of its own."""

from io import BytesIO

import pikepdf

from labels.page import MM


def size(pdf: bytes) -> tuple[float, float]:
    """Return the width and the height of a paper's first leaf [mm]."""
    with pikepdf.open(BytesIO(pdf)) as paper:
        left, foot, right, top = (float(edge) for edge in paper.pages[0].mediabox)
    return (right - left) / MM, (top - foot) / MM


def apart(pdf: bytes) -> list[bytes]:
    """Return every leaf as a paper of its own, with nothing on it changed."""
    with pikepdf.open(BytesIO(pdf)) as paper:
        return [_alone(leaf) for leaf in paper.pages]


def _alone(leaf: pikepdf.Page) -> bytes:
    out = BytesIO()
    with pikepdf.new() as paper:
        paper.pages.append(leaf)
        paper.save(out, deterministic_id=True)
    return out.getvalue()
