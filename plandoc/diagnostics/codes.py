"""The codes of all diagnostics, with severity, title and long explanation, read from codes_data/*.toml."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib.resources import files

from plandoc.diagnostics.diagnostic import Severity


@dataclass(frozen=True, slots=True)
class Code:
    """One kind of fault. `explanation` is what `plandoc explain` prints; `wrong` and `right` are plan lines."""

    code: str
    severity: Severity
    title: str
    explanation: str
    wrong: str
    right: str


class Codes(Mapping[str, Code]):
    """All codes, loaded at first use; a code that stands twice is refused."""

    def __init__(self) -> None:
        self._codes: dict[str, Code] | None = None

    def _load(self) -> dict[str, Code]:
        if self._codes is None:
            codes: dict[str, Code] = {}
            folder = files("plandoc.diagnostics") / "codes_data"
            for item in sorted(folder.iterdir(), key=lambda entry: entry.name):
                if not item.name.endswith(".toml"):
                    continue
                for code, row in tomllib.loads(item.read_text(encoding="utf-8")).items():
                    if code in codes:
                        raise ValueError(f"diagnostic code {code} stands twice")
                    codes[code] = Code(
                        code,
                        Severity(row.get("severity", "error")),
                        row["title"],
                        row.get("why", "").strip(),
                        row.get("wrong", "").strip("\n"),
                        row.get("right", "").strip("\n"),
                    )
            self._codes = codes
        return self._codes

    def __getitem__(self, key: str) -> Code:
        return self._load()[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._load())

    def __len__(self) -> int:
        return len(self._load())


CODES = Codes()
