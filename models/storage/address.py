"""What a person types to say where a workshop lies: a file's path, taken letter by letter, or a PostgreSQL address.

A path is never decoded: `?`, `#`, `%20` and `%00` are letters of its name. An address may hold a password, and what was
typed is never repeated: `Server.shown` has its host, port, database and user, and no message here has more.
"""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Final, NamedTuple
from urllib.parse import quote, unquote_to_bytes

from models.errors import InvalidInputError, WorkshopUnavailableError

FORM: Final = "postgresql://user@host:5432/database"
SCHEMES: Final = frozenset({"postgresql", "postgres", "postgresql+psycopg"})
LIBPQ: Final = frozenset(
    (
        *("application_name", "channel_binding", "client_encoding", "connect_timeout", "dbname"),
        *("fallback_application_name", "gssdelegation", "gssencmode", "gsslib", "host", "hostaddr", "keepalives"),
        *("keepalives_count", "keepalives_idle", "keepalives_interval", "krbsrvname", "load_balance_mode"),
        *("options", "passfile", "password", "port", "replication", "require_auth", "requirepeer", "service"),
        *("ssl_max_protocol_version", "ssl_min_protocol_version", "sslcert", "sslcertmode", "sslcompression"),
        *("sslcrl", "sslcrldir", "sslkey", "sslmode", "sslnegotiation", "sslpassword", "sslrootcert", "sslsni"),
        *("target_session_attrs", "tcp_user_timeout", "user"),
    )
)
"""What libpq, the server's client library, can be told (PostgreSQL 17 documentation, "Parameter Key Words")."""

KEEP_ALIVE: Final = {
    "keepalives_idle": "10",
    "keepalives_interval": "3",
    "keepalives_count": "3",
    "tcp_user_timeout": "10000",
}
"""What a connection that stays is told unless the address says otherwise: a cable that was pulled is noticed within
some 20 s, where the system by itself would wait for many minutes."""

# One letter before the colon is a drive's.
_SCHEME: Final = re.compile(r"\s*([A-Za-z][A-Za-z0-9+.\-]+)://")
_MEANT: Final = re.compile(r"\s*(?:(?:postgres(?:ql)?(?:\+\w+)?|sqlite(?:\+\w+)?|file):|jdbc:)", re.IGNORECASE)
_WORDS: Final = re.compile(rf"\s*(?:(?:{'|'.join(sorted(LIBPQ))})\s*=\s*(?:'[^']*'|\S*)(?:\s+|\Z))+\Z", re.IGNORECASE)
_PARTS: Final = re.compile(
    r"""
    (?: (?P<user> [^:@/?\#\[\]\s]* ) (?: : (?P<password> [^@/?\#\s]* ) )? @ )?
    (?P<hosts>
        [^:@/?\#\[\],\s]* | \[[0-9A-Fa-f:.%]+\]
        | [A-Za-z0-9._\-]+ (?: :\d+ )? (?: , [A-Za-z0-9._\-]+ (?: :\d+ )? )+
    ) (?: : (?P<port> [0-9]{0,5} ) )?
    (?: / (?P<database> [^:@/?\#\s]* ) )?
    (?: \? (?P<query> [^@?\#\s]* ) )?
    """,
    re.VERBOSE,
)
_MISPLACED: Final = re.compile(
    r"\s*(?:(?:postgres(?:ql)?(?:\+\w+)?|jdbc):|[A-Za-z][A-Za-z0-9+.\-]+:(?:/.*@|\S*password=))",
    re.IGNORECASE | re.DOTALL,
)
_SECRETIVE: Final = re.compile(r"[A-Za-z][A-Za-z0-9+.\-]+:/.*@|password\s*=", re.IGNORECASE | re.DOTALL)


class Server(NamedTuple):
    """A database on a server. `settings`: all that libpq is told, passwords among it, never shown."""

    host: str
    port: str
    database: str
    user: str
    settings: Mapping[str, str]

    @property
    def shown(self) -> str:
        """Its address as it may be said to anybody."""
        host = f"[{self.host}]" if ":" in self.host and "," not in self.host else quote(self.host, safe=",:")
        user = f"{quote(self.user, safe='')}@" if self.user else ""
        port = f":{self.port}" if self.port and "," not in self.port else ""
        database = f"/{quote(self.database, safe='')}" if self.database else ""
        if not (host or user or database):
            return "postgresql:// (the server that its service file or the environment names)"
        return f"postgresql://{user}{host}{port}{database}"

    def __repr__(self) -> str:
        return f"Server({self.shown})"


def is_address(where: str) -> bool:
    """Whether the text stands for a place on a server, well written or not, rather than for a file.

    A file with such a name is still reached, with `./` before it.
    """
    return bool(_SCHEME.match(where) or _MEANT.match(where) or _WORDS.match(where))


def is_misplaced(word: str) -> bool:
    """Whether a word that was typed in another place, as a file or a name, is an address that may hold a password."""
    return bool(_MISPLACED.match(word) or _WORDS.match(word))


def may_hold_a_secret(text: str) -> bool:
    """Whether an address seems to stand anywhere in the text: then it isn't repeated."""
    return is_address(text) or bool(_SECRETIVE.search(text))


def server(where: str) -> Server:
    """The server an address names. Raises `InvalidInputError` in words that repeat nothing of it."""
    scheme = _SCHEME.match(where)
    if scheme is None or scheme[1].lower() not in SCHEMES:
        raise _refused(where)
    found = _PARTS.fullmatch(where[scheme.end() :].rstrip())
    if found is None:
        raise InvalidInputError(
            "That is not an address that can be taken apart.",
            f"Write it as {FORM}; in a name or a password write @ as %40, / as %2F, ? as %3F, # as %23, : as %3A.",
        )
    said = {key: _decoded(value) for key, value in found.groupdict(default="").items() if key != "query"}
    settings = _settings(found["query"] or "")
    host = said["hosts"].removeprefix("[").removesuffix("]")
    port = said["port"] or ""
    if "," in host:
        host, port = _several(host, port)
    for key, value in (("host", host), ("port", port), ("dbname", said["database"]), ("user", said["user"])):
        if value:
            settings[key] = value
    if said["password"]:
        settings["password"] = said["password"]
    for name in settings.get("port", "").split(","):
        if name and not (name.isascii() and name.isdigit() and 0 < int(name) < 65_536):
            raise InvalidInputError("The address's port is not a number from 1 to 65535.", f"Write it as {FORM}.")
    if ":" in settings.get("user", ""):
        raise InvalidInputError("The address's user holds a colon.", f"Write it as {FORM}.")
    host, port, database, user = (settings.get(key, "") for key in ("host", "port", "dbname", "user"))
    return Server(host, port, database, user, settings)


def _several(hosts: str, last_port: str) -> tuple[str, str]:
    """Hosts that are tried one after another, as `one:5432,two:5433`."""
    pairs = [part.partition(":") for part in f"{hosts}:{last_port}".split(",")]
    ports = ",".join(port.strip(":") for _, _, port in pairs)
    return ",".join(host for host, _, _ in pairs), ports if ports.strip(",") else ""


def _settings(query: str) -> dict[str, str]:
    settings = {}
    for part in filter(None, query.split("&")):
        key, equals, value = part.partition("=")
        if key not in LIBPQ or not equals:
            raise InvalidInputError(
                "What stands after the ? of the address is not a setting of PostgreSQL's client.",
                "Write it as sslmode=require, with & between two; in a value write @ as %40, & as %26, # as %23.",
            )
        settings[key] = _decoded(value)
    return settings


def _decoded(text: str) -> str:
    try:
        plain = unquote_to_bytes(text).decode()
    except UnicodeDecodeError:
        plain = "\0"
    if not plain.isprintable():
        raise InvalidInputError("The address holds a character that can't be shown.", f"Write it as {FORM}.")
    return plain


def _refused(where: str) -> InvalidInputError:
    if re.match(r"\s*(?:sqlite|file)", where, re.IGNORECASE):
        return InvalidInputError("A file is named by its path alone.", "Type the path, with nothing before it.")
    return InvalidInputError(
        "That is not an address of a kind that Kitwright knows.",
        f"Type a file's path, or {FORM}. Put ./ before a file's name that looks like an address.",
    )


def file(where: str | Path) -> Path:
    """The file a path names: each of its letters stands for itself, only a leading `~` is somebody's home.

    Raises `InvalidInputError` or `WorkshopUnavailableError`.
    """
    if not str(where):
        raise InvalidInputError("That is not a file name.", "Type one, as shop.sqlite3.")
    if "\0" in str(where):
        raise InvalidInputError("A file's name can't hold the character NUL.", "Type the name without it.")
    text = os.path.expanduser(where)  # noqa: PTH111 - of the text: a Path would drop the ./ before a ~
    if str(text).startswith("~"):
        raise WorkshopUnavailableError(
            "No user of that name has a home folder here.", "Type the whole path; put ./ before a name that begins so."
        )
    return Path(text)


def exact(file: Path) -> Path:
    """The whole path of the file, its folders as the system finds them: a name such as `:memory:` is a file's too."""
    return Path(os.path.realpath(file.parent)) / file.name


def named(where: str | Path) -> Path | Server:
    """The file, or the server, that was named. Raises as `file` and `server` do."""
    return server(where) if isinstance(where, str) and is_address(where) else file(where)
