"""The transfer slip reads without being opened, and its code only when it is."""

from dataclasses import replace

import pytest

from labels import qr
from labels.transfer_slip import FOLD, INSIDE, MIDDLE, OUTSIDE, TransferSlip, draw
from labels.transfer_slip import notices as told_by
from ledger.acts.slipcodes import printed_code, scanned_code
from tests.labels import looks, overlaps, reading
from tests.labels.samples import ROOT

CODE = bytes(range(16))
SLIP = TransferSlip(
    shop="Skerrymoor Fretted Instruments",
    model="Tidewarden",
    serial="26-0147-3",
    certificate="C-2026-00088",
    number="W-2026-00001",
    code=printed_code(CODE),
    scan=scanned_code(CODE),
    entry=86_120,
    leaf=ROOT,
    day="2026-11-21",
)
