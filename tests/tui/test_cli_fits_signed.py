"""A signed export of fit records: what was changed, or signed by somebody else, is refused whole."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms
from tui import signing

RECORDS = 3


class Shop(NamedTuple):
    """Our signed file, the public key that goes with it, and somebody else's."""

    file: Path
    public: Path
    stranger: Path
    data: tuple[str, str]


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


@pytest.fixture
def shop(kitwright: CommandLine, tmp_path: Path) -> Shop:
    assert shutil.which("ssh-keygen"), "these tests need OpenSSH: apt-get install openssh-client"
    for name in ("ours", "strange"):
        words = ("ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-C", f"{name} bench", "-f", str(tmp_path / name))
        subprocess.run(words, check=True)
    file = tmp_path / "fits.csv"
    ended = kitwright("fits", "--export", str(file), "--demo", "--sign", str(tmp_path / "ours"), "--json")
    conforms("fits-exported", ended.json)
    assert (ended.code, ended.json["signature"]) == (0, f"{file}.sig")
    data = ("--data", str(tmp_path / "other.sqlite3"))
    return Shop(file, tmp_path / "ours.pub", tmp_path / "strange.pub", data)


def test_what_we_signed_is_taken_in_by_who_knows_our_key(kitwright: CommandLine, shop: Shop, tmp_path: Path) -> None:
    allowed = tmp_path / "shops"
    allowed.write_text(f"stranger {shop.stranger.read_text()}valley-bench {shop.public.read_text()}")
    both = tmp_path / "both.pub"
    both.write_text(shop.stranger.read_text() + shop.public.read_text())
    for keys, name in ((shop.public, "ours_bench"), (allowed, "valley-bench"), (both, "ours_bench")):
        ended = kitwright("fits", "--import", str(shop.file), "--verify", str(keys), *shop.data, "--json")
        conforms("fits-imported", ended.json)
        assert (ended.code, ended.json["signed_by"]) == (0, name)
    text = kitwright("fits", "--import", str(shop.file), "--verify", str(shop.public), *shop.data).out
    assert text.startswith("Signed with the key of ours_bench, and not changed since.")
    unasked = kitwright("fits", "--import", str(shop.file), *shop.data, "--json").json
    assert (unasked["signed_by"], unasked["known"]) == (None, RECORDS)


def test_what_is_taken_in_is_what_was_verified(
    kitwright: CommandLine, shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The file may lie where others write: changed once its signature was looked at, it goes in as it was signed."""
    signer_of = signing.signer_of

    def changed_after(file: Path, signature: Path, keys: str) -> str:
        name = signer_of(file, signature, keys)
        shop.file.write_text(shop.file.read_text().replace("NBR", "FKM"))
        return name

    monkeypatch.setattr(signing, "signer_of", changed_after)
    signed = shop.file.read_text()
    assert "NBR" in signed
    assert kitwright("fits", "--import", str(shop.file), "--verify", str(shop.public), *shop.data).code == 0
    assert "NBR" in kitwright("fits", "--export", "-", *shop.data).out


@pytest.mark.parametrize("at", [0, 200, -1])
def test_one_changed_byte_is_refused(kitwright: CommandLine, shop: Shop, at: int) -> None:
    told = bytearray(shop.file.read_bytes())
    told[at] ^= 1
    shop.file.write_bytes(told)
    ended = kitwright("fits", "--import", str(shop.file), "--verify", str(shop.public), *shop.data)
    assert (ended.code, ended.out) == (2, "")
    assert "is not what was signed: it was changed since. Nothing was taken in" in ended.err
    assert kitwright("fits", *shop.data, "--json").json["fits"] == []


def test_somebody_elses_key_none_or_no_signature_is_refused(kitwright: CommandLine, shop: Shop, tmp_path: Path) -> None:
    def said(keys: Path) -> str:
        ended = kitwright("fits", "--import", str(shop.file), "--verify", str(keys), *shop.data)
        assert (ended.code, ended.out, len(ended.err.splitlines())) == (2, "", 1)
        return ended.err

    assert "none of the keys in “strange.pub” signed that file" in said(shop.stranger)
    assert "can't be read; name the other shop's public key" in said(tmp_path / "nobody.pub")
    (tmp_path / "noise").write_bytes(b"\xff\x00 noise")
    assert "can't be read" in said(tmp_path / "noise")
    signature = Path(f"{shop.file}.sig")
    # A signature made for another purpose is none of ours.
    words = ("ssh-keygen", "-q", "-Y", "sign", "-f", str(shop.public.with_suffix("")), "-n", "file", str(shop.file))
    signature.unlink()
    subprocess.run(words, check=True, capture_output=True)
    assert "“fits.csv.sig” or its key is not meant for fit records" in said(shop.public)
    signature.write_text("noise")
    assert "none of the keys" in said(shop.public)
    signature.unlink()
    assert "no signature “fits.csv.sig” beside the file" in said(shop.public)


def test_what_cannot_be_signed_is_told_and_nothing_is_written(
    kitwright: CommandLine, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, noise = tmp_path / "f.csv", tmp_path / "noise"
    noise.write_text("no key")

    def said(*words: str) -> str:
        ended = kitwright("fits", *words, "--demo")
        assert (ended.code, ended.out, len(ended.err.splitlines())) == (2, "", 1)
        assert not file.exists()
        return ended.err

    assert "name a private key" in said("--export", str(file), "--sign", str(tmp_path / "none"))
    assert "ssh-keygen did not sign with that key" in said("--export", str(file), "--sign", str(noise))
    assert "add --export FILE" in said("--export", "-", "--sign", str(noise))
    assert "add --export FILE" in said("--sign", str(noise))
    assert "add --import FILE" in said("--verify", str(noise))
    assert "save it and name it" in said("--import", "-", "--verify", str(noise))
    monkeypatch.setenv("PATH", str(tmp_path))
    assert "needs ssh-keygen of OpenSSH 8.2 or newer" in said("--export", str(file), "--sign", str(noise))
