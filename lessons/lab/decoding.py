"""From the bytes of a CSV file, as timers and spreadsheets write it, to text: pure."""

from __future__ import annotations

import codecs

from .errors import LabError

LARGEST = 5_000_000  # bytes

_MARKS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF32_LE, "utf-32"), (codecs.BOM_UTF32_BE, "utf-32"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))
_FOREIGN = ((b"PK\x03\x04", "a spreadsheet's own file"), (b"\xd0\xcf\x11\xe0", "an old spreadsheet's own file"), (b"%PDF", "a PDF"), (b"<", "a web page"), (b"{", "JSON"), (b"[{", "JSON"))


def decode(raw: bytes, name: str) -> tuple[str, str]:
    """(text, a remark or ""). LabError for what is no text: says what it seems to be."""
    if len(raw) > LARGEST:
        raise LabError(f"{name}: {len(raw) // 1_000_000} MB is more than a table of measurements; the largest that is read has {LARGEST // 1_000_000} MB")
    ended = raw.rstrip(b"\x00")
    if b"\x00" not in ended and len(ended) > 4:
        raw = ended  # a logger that lost its power fills up with zeros
    for start, what in _FOREIGN:
        if raw.startswith(start):
            raise LabError(f"{name}: this is {what}, not CSV; open it and save it as CSV (text with commas or semicolons)")
    for mark, encoding in _MARKS:
        if raw.startswith(mark):
            try:
                return raw.decode(encoding), ""
            except UnicodeDecodeError as error:
                raise LabError(f"{name}: it says that it is {encoding}, but byte {error.start} does not fit; save it again as CSV in UTF-8") from None
    if b"\x00" in raw[:400]:
        return _without_mark(raw, name)
    try:
        return raw.decode("utf-8"), ""
    except UnicodeDecodeError:
        return raw.decode("cp1252", "replace"), "read as Windows-1252 (Latin-1), for it is not UTF-8"


def _without_mark(raw: bytes, name: str) -> tuple[str, str]:
    """UTF-16 whose mark is missing has a zero in every second byte, as long as it is mostly numbers."""
    zeros = [sum(b == 0 for b in raw[k:400:2]) for k in (0, 1)]
    encoding = "utf-16-le" if zeros[1] > zeros[0] else "utf-16-be"
    try:
        text = raw.decode(encoding)
    except UnicodeDecodeError:
        text = "\x00"
    if "\x00" in text:
        raise LabError(f"{name}: this is no text; save it again as CSV in UTF-8")
    return text, f"read as {encoding.upper()}, for its bytes look like that"
