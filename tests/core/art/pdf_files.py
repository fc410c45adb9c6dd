"""Small PDF files for tests, written by hand after ISO 32000-1 section 7.5 (file structure)."""

from collections.abc import Mapping


def pdf(
    content: str,
    *,
    media: str = "0 0 100 100",
    page: str = "",
    resources: str = "",
    forms: Mapping[str, tuple[str, str]] | None = None,
    pages: int = 1,
) -> bytes:
    """A file of so many pages that all draw the content; `forms` maps names to (dictionary, content)."""
    forms = forms or {}
    names = " ".join(f"/{name} {4 + number} 0 R" for number, name in enumerate(forms))
    common = f"/Resources << {resources} /XObject << {names} >> >> /MediaBox [{media}] {page}"
    first_page = 4 + len(forms)
    kids = " ".join(f"{first_page + number} 0 R" for number in range(pages))
    objects = [
        "<< /Type /Catalog /Pages 2 0 R >>",
        f"<< /Type /Pages /Kids [{kids}] /Count {pages} >>",
        _stream("", content),
        *(_stream(f"/Type /XObject /Subtype /Form {words}", body) for words, body in forms.values()),
        *[f"<< /Type /Page /Parent 2 0 R /Contents 3 0 R {common} >>"] * pages,
    ]
    out = b"%PDF-1.7\n"
    starts = []
    for number, text in enumerate(objects, 1):
        starts.append(len(out))
        out += f"{number} 0 obj\n{text}\nendobj\n".encode("latin-1")
    table = "".join(f"{start:010d} 00000 n \n" for start in starts)
    size = len(objects) + 1
    return (
        out
        + f"xref\n0 {size}\n0000000000 65535 f \n{table}trailer\n<< /Size {size} /Root 1 0 R >>\n".encode()
        + f"startxref\n{len(out)}\n%%EOF\n".encode()
    )


def _stream(words: str, content: str) -> str:
    return f"<< {words} /Length {len(content.encode('latin-1'))} >>\nstream\n{content}\nendstream"
