"""A look through the XML of a workbook before openpyxl builds anything of it."""

from __future__ import annotations

from typing import BinaryIO
from xml.parsers import expat

from loomwright.loom import InputProblems, Problem, Where
from loomwright.storage import limits
from loomwright.storage.job_folder.archive import damaged, opened_archive, unpacked

_BEFORE_XML = b"\xef\xbb\xbf\xfe\xff\0 \t\r\n"


def look_inside(file: BinaryIO, name: str) -> int:
    """Read through all of a workbook's parts; the number of sheets that it says it has.

    The file is back at its start afterwards.

    Raises
    ------
    InputProblems
        when it is damaged, unpacks to too much, or holds XML that no spreadsheet writes: a document
        type (its entities expand), deep nesting, millions of elements.
    """
    scan = _Scan(name)
    total = 0
    with opened_archive(file, name) as archive:
        for entry in archive.infolist():
            data = unpacked(archive, entry, limit=limits.MAX_TOTAL_BYTES)
            total += len(data)
            if total > limits.MAX_TOTAL_BYTES:
                raise InputProblems([limits.too_large(name, limits.MAX_TOTAL_BYTES)])
            if data.lstrip(_BEFORE_XML).startswith(b"<"):
                scan.look_at(data)
    file.seek(0)
    return scan.sheets


class _Scan:
    def __init__(self, name: str) -> None:
        self.sheets = 0
        self._name = name
        self._depth = 0
        self._elements = 0
        self._formats = 0

    def look_at(self, data: bytes) -> None:
        self._depth = 0
        parser = expat.ParserCreate()
        parser.StartElementHandler = self._enter
        parser.EndElementHandler = self._leave
        parser.StartDoctypeDeclHandler = self._document_type
        try:
            parser.Parse(data, True)
        except (expat.ExpatError, ValueError, LookupError) as failure:
            raise damaged(self._name) from failure

    def _enter(self, tag: str, attributes: dict[str, str]) -> None:
        self._depth += 1
        self._elements += 1
        if self._depth > limits.MAX_XML_DEPTH:
            raise self._strange(f"its text is nested more than {limits.MAX_XML_DEPTH} deep")
        if self._elements > limits.MAX_XML_ELEMENTS:
            raise InputProblems([limits.too_large(self._name, limits.MAX_TOTAL_BYTES)])
        if tag.rpartition(":")[2] == "sheet" and "sheetId" in attributes:
            self.sheets += 1
        number_format = attributes.get("formatCode")
        if number_format is not None:
            self._formats += 1
            if (
                self._formats > limits.MAX_NUMBER_FORMATS
                or len(number_format) > limits.MAX_NUMBER_FORMAT_CHARACTERS
            ):
                raise self._strange("it holds too many or too long number formats")

    def _leave(self, _tag: str) -> None:
        self._depth -= 1

    def _document_type(self, *_: object) -> None:
        raise self._strange("it holds a document type, which no spreadsheet writes")

    def _strange(self, what: str) -> InputProblems:
        cure = "save the workbook anew from a spreadsheet"
        return InputProblems([Problem(Where(self._name), what, cure)])
