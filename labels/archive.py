"""Finish a paper as a file to keep: built to the rules of PDF/A-3b.

In a certificate its own file and the proof ride inside, and in a paper with a
checkpoint that. The certificate file and the checkpoint are stored as they are, behind
a marker that stands once in the whole file, so that a reader who cannot take a PDF
apart finds it: the line with the marker ends in >>, the next is `stream`, then come the
very bytes, then a line end and `endstream`.

Source: ISO 19005-3 for output intent, metadata and associated files. Checked by the
project's own tests, not by a PDF/A-3 validator.
"""

import zlib
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from xml.sax.saxutils import escape

import pikepdf
from pikepdf import Array, Dictionary, Name, Pdf, Stream, String

from labels import faces
from labels.page import Page, close_document
from ledger.errors import RefusedError

MARKER, CHECKPOINT_MARKER = "/FLBK_Certificate", "/FLBK_Checkpoint"
CERTIFICATE_NAME = "certificate.json"
CHECKPOINT_NAME = "checkpoint.txt"
MARKERS = {CERTIFICATE_NAME: MARKER, CHECKPOINT_NAME: CHECKPOINT_MARKER}
PROOF_NAME = "certificate.tlog-proof"
PROFILE = Path(__file__).parent / "fonts" / "sRGB.icc"

METADATA = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/">
<pdfaid:part>3</pdfaid:part><pdfaid:conformance>B</pdfaid:conformance>
</rdf:Description>
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/">
<dc:format>application/pdf</dc:format>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
</rdf:Description>
<rdf:Description rdf:about="" xmlns:xmp="http://ns.adobe.com/xap/1.0/">
<xmp:CreatorTool>Flitchbook</xmp:CreatorTool>{dates}
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="w"?>
"""
DATES = """
<xmp:CreateDate>{day}T00:00:00Z</xmp:CreateDate>
<xmp:ModifyDate>{day}T00:00:00Z</xmp:ModifyDate>"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Attachment:
    """A file that rides inside a paper; relationship is how it bears on the page."""

    name: str
    content: bytes
    mime_type: str
    relationship: str
    about: str


def _metadata(title: str, day: str, language: str) -> bytes:
    # A slash written as its number keeps a title from spelling out the marker.
    safe = escape(faces.tidy(title), {"/": "&#47;"})
    # A label is of no day, and none is made up for it.
    dates = DATES.format(day=day) if day else ""
    return METADATA.format(title=safe, dates=dates, language=language).encode()


def _packed(pdf: Pdf, content: bytes) -> Stream:
    stream = Stream(pdf, zlib.compress(content, 9))
    stream.Filter = Name.FlateDecode
    return stream


def _colours(pdf: Pdf) -> pikepdf.Object:
    """Say which colours the inks are."""
    profile = _packed(pdf, PROFILE.read_bytes())
    profile.N = 3
    intent = Dictionary(
        Type=Name.OutputIntent,
        S=Name.GTS_PDFA1,
        OutputConditionIdentifier=String("sRGB IEC61966-2.1"),
        Info=String("sRGB IEC61966-2.1"),
        RegistryName=String("http://www.color.org"),
        DestOutputProfile=pdf.make_indirect(profile),
    )
    return Array([pdf.make_indirect(intent)])


def _attach(pdf: Pdf, file: Attachment, day: str) -> pikepdf.Object:
    """Embed a file; a marked one is stored as it is, all others are packed."""
    marker = MARKERS.get(file.name)
    stream = Stream(pdf, file.content) if marker else _packed(pdf, file.content)
    if marker:
        stream[marker] = 1
    stream.Type = Name.EmbeddedFile
    stream.Subtype = Name("/" + file.mime_type)
    stream.Params = Dictionary(Size=len(file.content))
    if day:
        stream.Params.ModDate = String(f"D:{day.replace('-', '')}000000Z")
    embedded = pdf.make_indirect(stream)
    return pdf.make_indirect(
        Dictionary(
            Type=Name.Filespec,
            F=String(file.name),
            UF=String(file.name),
            Desc=String(file.about),
            AFRelationship=Name("/" + file.relationship),
            EF=Dictionary(F=embedded, UF=embedded),
        )
    )


def _refuse_unreadable(certificate: bytes, finished: bytes) -> None:
    """Refuse a file in which the certificate could not be found by its marker."""
    if b"endstream" in certificate:
        raise RefusedError(
            "the certificate file holds the word endstream, which ends it inside a "
            "PDF; keep the certificate file beside the paper instead"
        )
    found = finished.count(MARKER.encode())
    if found != 1:
        raise RefusedError(
            f"{MARKER} stands {found} times in the paper and must stand 1 time; "
            f"take it out of the names in the certificate"
        )


def _files(certificate: bytes, proof: bytes) -> tuple[Attachment, Attachment]:
    return (
        Attachment(
            name=CERTIFICATE_NAME,
            content=certificate,
            mime_type="application/json",
            relationship="Source",
            about="The certificate this page was drawn from",
        ),
        Attachment(
            name=PROOF_NAME,
            content=proof,
            mime_type="text/plain",
            relationship="Supplement",
            about="Proof that its entry stands in the maker's record",
        ),
    )


def checkpoint_file(note: str) -> Attachment:
    """Return the checkpoint that is printed on a paper, to ride inside it."""
    return Attachment(
        name=CHECKPOINT_NAME,
        content=note.encode(),
        mime_type="text/plain",
        relationship="Supplement",
        about="The checkpoint that is printed on this paper",
    )


def _put_inside(pdf: Pdf, files: tuple[Attachment, ...], day: str) -> None:
    """Attach files by name, and list them as bearing on the whole paper."""
    if not files:
        return
    names: list[pikepdf.Object] = []
    specs: list[pikepdf.Object] = []
    for file in files:
        specs.append(_attach(pdf, file, day))
        names += [String(file.name), specs[-1]]
    pdf.Root.Names = Dictionary(EmbeddedFiles=Dictionary(Names=Array(names)))
    pdf.Root.AF = Array(specs)


def _save(pdf: Pdf) -> bytes:
    out = BytesIO()
    pdf.save(
        out,
        fix_metadata_version=False,  # the metadata is to stand as written
        compress_streams=False,  # and so is the certificate file
        object_stream_mode=pikepdf.ObjectStreamMode.disable,
        deterministic_id=True,
    )
    return out.getvalue()


def keep(page: Page, *, day: str = "", files: tuple[Attachment, ...] = ()) -> bytes:
    """Close a paper, and return it as a file to keep, with files inside.

    day  YYYY-MM-DD, of which the paper is; empty where it is of none
    """
    with pikepdf.open(BytesIO(close_document(page))) as pdf:
        _put_inside(pdf, files, day)
        pdf.Root.OutputIntents = _colours(pdf)
        metadata = Stream(pdf, _metadata(page.title, day, page.language))
        metadata.Type, metadata.Subtype = Name.Metadata, Name.XML
        pdf.Root.Metadata = pdf.make_indirect(metadata)
        # Title and dates stand in the metadata alone, so that no two places differ.
        if "/Info" in pdf.trailer:
            del pdf.trailer["/Info"]
        # On one leaf there is nowhere to jump to.
        if len(pdf.pages) == 1 and "/Outlines" in pdf.Root:
            del pdf.Root.Outlines
        return _save(pdf)


def finish(page: Page, *, day: str, certificate: bytes, proof: bytes) -> bytes:
    """Close a certificate, and return it with its files inside; day is YYYY-MM-DD."""
    finished = keep(page, day=day, files=_files(certificate, proof))
    _refuse_unreadable(certificate, finished)
    return finished
