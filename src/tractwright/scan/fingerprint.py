"""What a scan file is known by."""

import hashlib
from pathlib import Path

from tractwright.job.sheet import JobSheet


def scan_sha256(sheet: JobSheet, folder: Path) -> str:
    """Hash of the scan the sheet names; '' without one, or where the file is not there (reading it will say so)."""
    if sheet.scan is None or not (path := folder / sheet.scan.file).is_file():
        return ""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
