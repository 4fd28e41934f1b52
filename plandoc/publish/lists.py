"""Lists as CSV (RFC 4180 quoting, line feed at line ends), every figure as exact text."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from plandoc.publish.numbers import decimal_text, exact_text

__all__ = ["csv_text", "decimal_text", "exact_text"]


def csv_text(header: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """The table as CSV text. Raises ValueError for a row of another length than the header."""
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\n")
    writer.writerow(header)
    for row in rows:
        if len(row) != len(header):
            raise ValueError(f"a row of {len(row)} cells under a header of {len(header)}: {row!r}")
        writer.writerow(row)
    return buffer.getvalue()
