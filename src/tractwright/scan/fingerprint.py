"""What the files of a job's space are known by."""

import hashlib
from pathlib import Path

from tractwright.job.sheet import JobSheet


def scan_sha256(sheet: JobSheet, folder: Path) -> str:
    """Hash of every scan, drawing and picture the sheet names; '' without one. A file that is not there is passed over:
    reading it will say so.
    """
    scans = [sheet.scan.file, *(more.file for more in sheet.scan.more)] if sheet.scan else []
    names = [*scans, *(gasket.file for gasket in sheet.gasket)]
    paths = [folder / name for name in names if (folder / name).is_file()]
    if not paths:
        return ""
    hashes: list[str] = []
    for path in paths:
        with path.open("rb") as file:
            hashes.append(hashlib.file_digest(file, "sha256").hexdigest())
    return hashes[0] if len(hashes) == 1 else hashlib.sha256("".join(hashes).encode()).hexdigest()
