"""The pages around the app: the one it is drawn in, the one that asks for the code, and the one that says no."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from pathlib import Path
from types import MappingProxyType
from typing import Final

import textual_serve

OURS: Final = Path(__file__).parent / "web"
THEIRS: Final = Path(textual_serve.__file__).parent / "static"
FILES: Final[Mapping[str, tuple[Path, str]]] = MappingProxyType(
    {
        "page.css": (OURS / "page.css", "text/css"),
        "page.js": (OURS / "page.js", "text/javascript"),
        "icon.svg": (OURS / "icon.svg", "image/svg+xml"),
        "terminal.css": (THEIRS / "css" / "xterm.css", "text/css"),
        "terminal.js": (THEIRS / "js" / "textual.js", "text/javascript"),
        "terminal.ttf": (THEIRS / "fonts" / "RobotoMono-VariableFont_wght.ttf", "font/ttf"),
    }
)
"""All that a page may ask for beside itself, each with its type. The terminal and its letters are textual-serve's."""

_HEAD: Final = """\
<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1, interactive-widget=resizes-content">
<title>{title}</title>
<link rel="icon" href="/static/icon.svg">
<link rel="stylesheet" href="/static/page.css">
"""

_APP: Final = (
    _HEAD
    + """\
<link rel="stylesheet" href="/static/terminal.css">
<script src="/static/page.js" defer></script>
</head>
<body class="app">
<main id="terminal" class="textual-terminal"></main>
<nav id="keys" aria-label="Keys">
<button data-send="\\u001b">Esc</button>
<button data-send="\\t">Tab</button>
<button data-send="\\u001b[A" aria-label="Up">↑</button>
<button data-send="\\u001b[B" aria-label="Down">↓</button>
<button data-send="\\r">Enter</button>
<button data-send="\\u0010">All actions</button>
<button id="letters" aria-pressed="false">Keyboard</button>
</nav>
<section id="told" role="alert" hidden><div><h1></h1><p></p><button id="again">Start again</button></div></section>
<noscript><p>The app is drawn by scripts of this page. Allow them here and load the page again.</p></noscript>
</body>
</html>
"""
)

_SAYS: Final = (
    _HEAD
    + """\
</head>
<body>
<div class="card">
<h1>{title}</h1>
{body}
</div>
</body>
</html>
"""
)

_ASK: Final = """\
<p>{said}</p>
<form method="post" action="/enter">
<label for="code">Code or access key</label>
<input id="code" name="code" type="password" autocomplete="current-password" autocapitalize="characters"
 spellcheck="false" maxlength="100" required autofocus>
<button>Open</button>
</form>
<p class="small">The code stands at the shop's computer, where kitwright serve was started: eight digits, for one
browser, two minutes long. Press Enter there for the next one.</p>
"""


def app_page() -> str:
    """The page that the app is drawn in, full size."""
    return _APP.format(title="Kitwright")


def ask_page(said: str = "This browser is new here.") -> str:
    """The page that asks for the code; `said` is why."""
    return _SAYS.format(title="Kitwright", body=_ASK.format(said=escape(said)))


def says_page(title: str, *lines: str) -> str:
    """A page that says something, and how to go on."""
    body = "\n".join(f"<p>{escape(line)}</p>" for line in lines)
    return _SAYS.format(title=escape(title), body=f'{body}\n<p><a class="button" href="/">Try again</a></p>')
