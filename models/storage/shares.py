"""Whether a file lies on a network share, as far as the system says."""

from __future__ import annotations

from pathlib import Path
from typing import Final

MOUNTS: Final = Path("/proc/self/mounts")
NETWORK: Final = frozenset(
    {"nfs", "nfs3", "nfs4", "cifs", "smb", "smb2", "smb3", "smbfs", "afs", "9p", "fuse.sshfs", "davfs", "ncpfs"}
)


def on_network_share(file: Path, mounts: Path = MOUNTS) -> bool:
    """True where the file is on a share; False where it is not, or the system doesn't say.

    A path that names a server is one on any system; else the table of mounts is asked, where there is one.
    """
    if str(file).startswith(("\\\\", "//")):
        return True
    try:
        lines = mounts.read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:
        return False
    place = file.absolute().parts
    best: tuple[int, str] = (-1, "")
    for line in lines:
        fields = line.split()
        if len(fields) < 3:
            continue
        # The table writes a space in a name as \040.
        at = Path(fields[1].replace("\\040", " ")).parts
        if place[: len(at)] == at and len(at) >= best[0]:
            best = (len(at), fields[2])
    return best[1] in NETWORK
