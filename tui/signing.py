"""Signing a file for another shop and checking such a signature, with the OpenSSH that is on most computers.

The signature is OpenSSH's own kind (`ssh-keygen -Y sign`, format SSHSIG), in a namespace of ours: a signature made for
mail or for code proves nothing here. No key and no passphrase passes through this program; `ssh-keygen` asks for it.
"""

from __future__ import annotations

import subprocess
import tempfile
from pathlib import Path
from typing import IO, Final

PROGRAM: Final = "ssh-keygen"
NAMESPACE: Final = "fit-records@kitwright"
SUFFIX: Final = ".sig"
LONGEST_S: Final = 120
"""Seconds for a person to type a passphrase."""
KEY_LIMIT: Final = 1_000_000
"""Bytes of a file of keys."""
NO_PROGRAM: Final = "that needs ssh-keygen of OpenSSH 8.2 or newer, which is not on this computer"


class SigningError(Exception):
    """It can't be signed, or the signature does not hold; the text is one sentence."""


def signature_of(data: bytes, key: str) -> bytes:
    """The signature over `data` by the private key in the file `key`. Raises `SigningError`."""
    if not Path(key).is_file():
        raise SigningError(f"“{key}” is not a file; name a private key, as ~/.ssh/id_ed25519")
    done = _run(["-Y", "sign", "-f", key, "-n", NAMESPACE], data)
    if done.returncode or not done.stdout.startswith(b"-----BEGIN SSH SIGNATURE-----"):
        raise SigningError(f"ssh-keygen did not sign with that key ({_why(done)})")
    return done.stdout


def signer_of(file: Path, signature: Path, keys: str) -> str:
    """Who signed `file`: one of the people in the file `keys`. Raises `SigningError` where nobody there did.

    `keys`: a public key, as `id_ed25519.pub`, or OpenSSH's file of allowed signers, a name and a key a line.
    """
    if not signature.is_file():
        raise SigningError(f"there is no signature “{signature.name}” beside the file; ask the other shop for it")
    with tempfile.TemporaryDirectory(prefix="kitwright-keys-") as folder:
        allowed = Path(folder) / "allowed"
        allowed.write_text(_allowed(keys), encoding="utf-8")
        found = _run(["-Y", "find-principals", "-s", str(signature), "-f", str(allowed)])
        names = found.stdout.decode("utf-8", "replace").splitlines()
        if found.returncode or not names:
            raise SigningError(f"none of the keys in “{Path(keys).name}” signed that file. Nothing was taken in")
        with file.open("rb") as data:
            words = ["-Y", "verify", "-f", str(allowed), "-I", names[0], "-n", NAMESPACE, "-s", str(signature)]
            done = _run(words, data)
    if done.returncode:
        if _is_for_other_use(done):
            raise SigningError(f"“{signature.name}” or its key is not meant for fit records. Nothing was taken in")
        raise SigningError(f"“{file.name}” is not what was signed: it was changed since. Nothing was taken in")
    return names[0]


def _is_for_other_use(done: subprocess.CompletedProcess[bytes]) -> bool:
    """Whether the key or the signature is for mail, code or such, by what ssh-keygen says: it looks at that first."""
    return b"namespace" in done.stderr + done.stdout


def _allowed(keys: str) -> str:
    """The allowed signers; the owner of a bare public key is called by the comment behind it."""
    try:
        with Path(keys).open("rb") as raw:
            text = raw.read(KEY_LIMIT).decode("utf-8")
    except (OSError, ValueError) as fault:
        raise SigningError(f"“{keys}” can't be read; name the other shop's public key, as theirs.pub") from fault
    return "".join(f"{_signer(line)}\n" for line in text.splitlines())


def _signer(line: str) -> str:
    words = line.split()
    if len(words) < 2 or not words[0].startswith(("ssh-", "ecdsa-", "sk-")):
        return line
    comment = "".join(letter for letter in "_".join(words[2:]) if letter.isalnum() or letter in "@._-")
    return f"{comment or 'their-key'} {words[0]} {words[1]}"


def _run(words: list[str], data: bytes | IO[bytes] = b"") -> subprocess.CompletedProcess[bytes]:
    try:
        if isinstance(data, bytes):
            return subprocess.run([PROGRAM, *words], input=data, capture_output=True, timeout=LONGEST_S, check=False)
        return subprocess.run([PROGRAM, *words], stdin=data, capture_output=True, timeout=LONGEST_S, check=False)
    except FileNotFoundError:
        raise SigningError(NO_PROGRAM) from None
    except (OSError, ValueError, subprocess.TimeoutExpired) as fault:
        raise SigningError("ssh-keygen did not answer") from fault


def _why(done: subprocess.CompletedProcess[bytes]) -> str:
    """The program's own first line, or that it is too old."""
    said = done.stderr.decode("utf-8", "replace").strip().splitlines()
    if any("unknown option" in line or "illegal option" in line for line in said):
        return "it is older than OpenSSH 8.2"
    return " ".join(said[0].split())[:120] if said else "it gave no reason"
