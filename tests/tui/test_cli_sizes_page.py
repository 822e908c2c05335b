"""The page of sizes for a phone: whole, asking nothing from anywhere, and nothing in it that a shop typed is markup."""

from __future__ import annotations

import json
from datetime import date
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.orings.sizes import Series, all_sizes, title
from catalog.standing import Standing
from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms
from tui.sheets import size_page

DAY = date(2026, 11, 29)


class Page(HTMLParser):
    """A page taken apart: its elements in order, each with its attributes, and the text of the sizes' script."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.sizes = ""
        self._open: list[str] = []
        self.unclosed: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in ("meta", "input"):
            self._open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if not self._open or self._open.pop() != tag:
            self.unclosed.append(tag)

    def handle_data(self, data: str) -> None:
        if (
            self.elements
            and self.elements[-1] == ("script", {"type": "application/json", "id": "sizes"})
            and not self.sizes
        ):
            self.sizes = data

    @property
    def rows(self) -> list[tuple[Any, ...]]:
        """Each size: series, name, ID, its ±, ID in inches, width, its ±, width in inches, standing, source."""
        said = json.loads(self.sizes)
        return [
            (said["series"][group[0]], name, inside, error, inch, *group[3:6], group[2], said["sources"][group[1]])
            for group in said["groups"]
            for name, inside, error, inch in (line.split("\t") for line in group[6].split("\n"))
        ]


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


def test_every_size_is_on_it_with_the_figures_that_are_shown_everywhere(kitwright: CommandLine, tmp_path: Path) -> None:
    file = tmp_path / "sizes.html"
    told = kitwright("sizes", "--html", str(file), "--data", str(tmp_path / "none.sqlite3"), "--json").json
    conforms("sizes-page", told)
    assert (told["sizes"], told["page_bytes"]) == (len(all_sizes()), file.stat().st_size)
    assert told["page_bytes"] < 90_000
    rows = Page(file.read_text(encoding="utf-8")).rows
    assert len(rows) == len(set(rows)) == len(all_sizes())
    # SAE AS568-214: ID 0.984 ± 0.010 in, width 0.139 ± 0.004 in.
    (one,) = [row for row in rows if row[1] == "AS568-214"]
    assert one[:-1] == ("SAE AS568", "AS568-214", "24.99", "0.25", "0.984", "3.53", "0.10", "0.139", "published")
    listed = {(size.label, title(size.series), size.standing.word, size.source) for size in all_sizes()}
    assert {(row[1], row[0], row[8], row[9]) for row in rows} == listed


def test_it_asks_nothing_from_anywhere_and_closes_what_it_opens() -> None:
    page = Page(size_page.as_html(all_sizes(), DAY))
    assert page.unclosed == []
    assert not {name for _, attributes in page.elements for name in attributes} & {"src", "href", "action", "srcset"}
    (policy,) = [
        attrs["content"] for tag, attrs in page.elements if attrs.get("http-equiv") == "Content-Security-Policy"
    ]
    assert policy is not None
    assert policy.startswith("default-src 'none';")
    assert "url(" not in size_page.PAGE.read_text(encoding="utf-8")
    assert "://" not in size_page.PAGE.read_text(encoding="utf-8").replace("http://www.w3.org/2000/svg", "")


@given(st.text(max_size=30), st.text(max_size=30))
def test_nothing_that_a_shop_typed_is_markup(name: str, source: str) -> None:
    _stays_text(name, source)


@pytest.mark.parametrize(
    "text", ["</script><img src=x onerror=alert(1)>", "<!--<script>", "a\tb\nc", "\u2028", "{{made}}"]
)
def test_nor_is_what_would_end_the_script(text: str) -> None:
    _stays_text(text, text)


def _stays_text(name: str, source: str) -> None:
    own = all_sizes()[0]._replace(series=Series.OWN, designation=name, cited=source, standing=Standing.SHOP)
    page = Page(size_page.as_html([own], DAY))
    assert [tag for tag, _ in page.elements] == [tag for tag, _ in Page(size_page.as_html([], DAY)).elements]
    ((series, shown, *_, found),) = page.rows
    assert (series, shown, found) == ("Own table", " ".join(name.split()), source)


def test_the_page_may_be_of_a_series_or_go_to_a_pipe(kitwright: CommandLine, tmp_path: Path) -> None:
    here = ("--data", str(tmp_path / "none.sqlite3"))
    piped = kitwright("sizes", "24.99", "--series", "as568", "--html", "-", *here)
    names = [row[1] for row in Page(piped.out).rows]
    assert (piped.code, "AS568-214" in names, len(names) < 20) == (0, True, True)
    assert kitwright("sizes", "no such size", "--html", "-", *here).code == 1
    for words, said in (
        (("--html", "-", "--export", "-"), "choose one"),
        (("--html", str(tmp_path)), "is a folder"),
        (("--html", "-", "--json"), "choose one"),
    ):
        ended = kitwright("sizes", *words, *here)
        assert (ended.code, ended.out, said in ended.err) == (2, "", True), words
