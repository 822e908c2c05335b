"""Certificates for https on this computer, made by OpenSSL's command for one test."""

from __future__ import annotations

import subprocess
from pathlib import Path
from typing import NamedTuple

NEWLY = ("20200101000000Z", "20991231000000Z")
EXPIRED = ("20200101000000Z", "20210101000000Z")
NOT_YET = ("20980101000000Z", "20991231000000Z")
CONFIG = """
[req]
distinguished_name = named
[named]
[ca]
default_ca = shop
[shop]
dir = {folder}
database = {folder}/index.txt
new_certs_dir = {folder}
rand_serial = yes
default_md = sha256
policy = any
x509_extensions = of_a_server
[any]
commonName = supplied
[of_a_server]
subjectAltName = IP:127.0.0.1, DNS:localhost
"""


class Made(NamedTuple):
    """A self-signed certificate and its key."""

    cert: Path
    key: Path


def openssl(*words: str) -> None:
    done = subprocess.run(["openssl", *words], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def made(folder: Path, days: tuple[str, str] = NEWLY, *, password: str = "") -> Made:
    """A certificate of 127.0.0.1 that holds from the first moment to the second."""
    folder.mkdir()
    (folder / "index.txt").touch()
    settings = folder / "settings.cnf"
    settings.write_text(CONFIG.format(folder=folder), encoding="utf-8")
    one = Made(folder / "shop.pem", folder / "shop-key.pem")
    secret = ["-passout", f"pass:{password}"] if password else ["-nodes"]
    known = ["-passin", f"pass:{password}"] if password else []
    openssl(
        "req", "-new", "-newkey", "rsa:2048", *secret, "-config", str(settings), "-subj", "/CN=Shop",
        "-keyout", str(one.key), "-out", str(folder / "asked.pem"),
    )  # fmt: skip
    openssl(
        "ca", "-batch", "-selfsign", "-config", str(settings), "-keyfile", str(one.key), *known,
        "-in", str(folder / "asked.pem"), "-out", str(one.cert), "-notext", "-startdate", days[0], "-enddate", days[1],
    )  # fmt: skip
    return one
