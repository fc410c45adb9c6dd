"""What a print file wears to be built to the PDF/X-4 rules: output intent, metadata, dates.

Built to, not certified: no full PDF/X-4 checker was at hand, and the clauses of ISO 15930-7:2010 are from
memory.
The file carries no clock; every date in it is `FIXED_DATE` and says nothing.
"""

import hashlib
import struct
from xml.sax.saxutils import escape

from layout_core.outputs.pdf_objects import PdfObjects, pdf_dictionary, pdf_text

FIXED_DATE = "1980-01-01T00:00:00Z"
_PDF_DATE = "(D:19800101000000Z)"
_PRODUCER = "Duskwright"


def output_intent(objects: PdfObjects) -> str:
    """The reference of a grey output intent and its profile: with Lab alternates none in CMYK is needed."""
    profile = objects.add_stream(grey_profile(), "/N 1")
    return objects.add(
        pdf_dictionary(
            {
                "Type": "/OutputIntent",
                "S": "/GTS_PDFX",
                "OutputConditionIdentifier": "(Custom)",
                "Info": pdf_text("Spot colours on transfer film; no process colour is used"),
                "DestOutputProfile": profile,
            }
        )
    )


def metadata(objects: PdfObjects, title: str, identity: bytes) -> str:
    """The reference of the XMP packet; `identity` tells one document from another."""
    mark = hashlib.sha256(identity).hexdigest()
    uuid = f"uuid:{mark[:8]}-{mark[8:12]}-{mark[12:16]}-{mark[16:20]}-{mark[20:32]}"
    packet = (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>\n'
        '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF '
        'xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about="" '
        'xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/" '
        'xmlns:xmpMM="http://ns.adobe.com/xap/1.0/mm/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/" '
        'xmlns:pdfxid="http://www.npes.org/pdfx/ns/id/">'
        f'<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{escape(title)}</rdf:li></rdf:Alt></dc:title>'
        f"<xmp:CreateDate>{FIXED_DATE}</xmp:CreateDate><xmp:ModifyDate>{FIXED_DATE}</xmp:ModifyDate>"
        f"<xmp:MetadataDate>{FIXED_DATE}</xmp:MetadataDate><xmp:CreatorTool>{_PRODUCER}</xmp:CreatorTool>"
        f"<xmpMM:DocumentID>{uuid}</xmpMM:DocumentID><xmpMM:VersionID>1</xmpMM:VersionID>"
        "<xmpMM:RenditionClass>default</xmpMM:RenditionClass>"
        f"<pdf:Producer>{_PRODUCER}</pdf:Producer><pdf:Trapped>False</pdf:Trapped>"
        "<pdfxid:GTS_PDFXVersion>PDF/X-4</pdfxid:GTS_PDFXVersion>"
        '</rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end="r"?>'
    )
    return objects.add_stream(packet.encode("utf-8"), "/Type /Metadata /Subtype /XML", is_packed=False)


def information(objects: PdfObjects, title: str) -> str:
    """The reference of the information dictionary, which says the same as the XMP packet."""
    entries = {
        "Title": pdf_text(title), "Creator": f"({_PRODUCER})", "Producer": f"({_PRODUCER})",
        "CreationDate": _PDF_DATE, "ModDate": _PDF_DATE, "Trapped": "/False",
    }  # fmt: skip
    return objects.add(pdf_dictionary(entries))


def grey_profile() -> bytes:
    """A small grey output profile, gamma 2.2, D50.

    Source: ICC.1:2001-04, sections 6.1 (header), 6.2 (tag table), 6.5.2 (curve), 6.5.17 (description),
    6.5.18 (text), 6.5.22 (XYZ).
    """
    text = b"Duskwright grey output, gamma 2.2"
    white = struct.pack(">4s4x3i", b"XYZ ", 63190, 65536, 54061)  # 0.9642, 1, 0.8249 in 16.16
    tags = (
        (b"desc", struct.pack(">4s4xI", b"desc", len(text) + 1) + text + b"\0" + bytes(8 + 3 + 67)),
        (b"cprt", b"text\0\0\0\0No rights reserved\0"),
        (b"wtpt", white),
        (b"kTRC", struct.pack(">4s4xIH", b"curv", 1, round(2.2 * 256))),
    )
    table, body = b"", b""
    start = 128 + 4 + 12 * len(tags)
    for name, data in tags:
        table += struct.pack(">4sII", name, start + len(body), len(data))
        body += data + bytes(-len(data) % 4)
    size = start + len(body)
    header = struct.pack(
        ">I4xI4s4s4s6H4s4xI8x8xI3i48x",
        size, 0x02100000, b"prtr", b"GRAY", b"XYZ ", 1980, 1, 1, 0, 0, 0, b"acsp", 0, 0, 63190, 65536, 54061,
    )  # fmt: skip
    return header + struct.pack(">I", len(tags)) + table + body
