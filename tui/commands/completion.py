"""What a shell offers while a command is typed: a script for it, made from the declared operations."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

from tui.cli import COMMANDS
from tui.commands.parsing import UNITS
from tui.operations.operation import Operation
from tui.operations.registry import area_module, commands_of

NOTHING: Mapping[str, tuple[str, ...]] = {}
FILES = ("FILE", "PATH|URL", "FILE|-")


class Place(NamedTuple):
    """A place in a command line. `path`: the command so far; `offers`: words that may follow, each with its help.

    `choices`: the values of an option that takes one of a few; `files`: the options that take a file.
    """

    path: str
    offers: Mapping[str, str]
    choices: Mapping[str, tuple[str, ...]]
    files: frozenset[str]


WHICH_WORKSHOP: Mapping[str, str] = {
    "--data": "the database: a file or an address",
    "--data-from": "a file whose first line is what --data would be",
    "--demo": "the invented demo workshop",
}
UNIT: Mapping[str, str] = {"--unit": "the unit of a length typed without one"}
TOP: Mapping[str, str] = {
    "--version": "which version this is",
    "--guide": "open the app with a guide through a day",
    "--caliper": "open the app with a caliper on a serial port",
}
ALWAYS: Mapping[str, str] = {"--help": "what it does, with examples"}


def places() -> Iterator[Place]:
    """Every place in a command line that a word may follow, the top first."""
    tops = {name: str(area_module(name).HELP) for name in COMMANDS}
    yield _place("", {**tops, **WHICH_WORKSHOP, **UNIT, **ALWAYS, **TOP})
    for name in COMMANDS:
        yield from _area(name)


def _area(name: str) -> Iterator[Place]:
    own = commands_of(name)
    itself = next((one for one in own if one.name == name), None)
    named = [one for one in own if one is not itself]
    groups: dict[str, dict[str, str]] = {}
    first: dict[str, str] = {}
    for operation in named:
        group, _, rest = operation.name.rpartition(" ")
        groups.setdefault(group, {})[rest] = operation.help
        first.setdefault(group or rest, area_module(name).GROUPS[group][0] if group else operation.help)
    yield _operation(name, itself, first) if itself is not None else _place(name, {**first, **ALWAYS})
    for group, words in groups.items():
        if group:
            yield _place(f"{name} {group}", {**words, **ALWAYS})
    for operation in named:
        yield _operation(f"{name} {operation.name}", operation, {})


def _operation(path: str, operation: Operation, words: Mapping[str, str]) -> Place:
    offers, choices, files = dict(words), dict[str, tuple[str, ...]](), set[str]()
    for field in operation.fields:
        few = tuple(getattr(field, "choices", ()))
        for option in field.options():
            where = "" if option.positional else option.flag
            if where:
                offers[option.flag] = option.help
            if few and option.takes != "none":
                choices[where] = few
            if option.metavar in FILES:
                files.add(where)
    if any(field.LENGTHS for field in operation.fields):
        offers |= UNIT
    offers["--json"] = "the answer for another program"
    if operation.workshop:
        offers |= WHICH_WORKSHOP
    return _place(path, {**offers, **ALWAYS}, choices, frozenset(files))


def _place(
    path: str,
    offers: Mapping[str, str],
    choices: Mapping[str, tuple[str, ...]] = NOTHING,
    files: frozenset[str] = frozenset(),
) -> Place:
    few = {flag: values for flag, values in choices.items() if all(" " not in one for one in values)}
    if "--unit" in offers:
        few["--unit"] = UNITS
    return Place(path, offers, few, files | {flag for flag in ("--data", "--data-from") if flag in offers})


def _one_line(text: str, most: int = 60) -> str:
    """A help as a shell shows it beside the word: one line, cut at a word, without what quotes would end."""
    line = " ".join(text.replace("'", "’").split())
    return line if len(line) <= most else line[:most].rsplit(" ", 1)[0] + " …"


def bash() -> str:
    """For bash, and by its own door for zsh: `source <(kitwright completion bash)`."""
    known = list(places())
    paths = " | ".join(f"'{one.path}'" for one in known if one.path)
    words = "\n".join(f"        '{one.path}') offers='{' '.join(one.offers)}' ;;" for one in known)
    few = [(one.path, flag, " ".join(values)) for one in known for flag, values in one.choices.items()]
    values = "\n".join(f"        '{path} {flag}') offers='{some}'; return 0 ;;" for path, flag, some in few if flag)
    placed = "\n".join(f"        '{path}') offers+=' {some}' ;;" for path, flag, some in few if not flag)
    files = "\n".join(
        f"        '{one.path} {flag}') files=yes; return 0 ;;" for one in known for flag in sorted(one.files) if flag
    )
    open_places = " | ".join(f"'{one.path}'" for one in known if "" in one.files) or "'-'"
    return f"""\
# What kitwright understands, for bash: source <(kitwright completion bash)
_kitwright_offers() {{
    # $1: the command so far, $2: the word before.
    case "$1 $2" in
{values}
{files}
    esac
    case "$1" in
{words}
    esac
    case "$1" in
{placed}
        {open_places}) files=yes ;;
    esac
    return 0
}}
_kitwright() {{
    local path='' offers='' files='' at word
    for ((at = 1; at < COMP_CWORD; at++)); do
        word="${{path:+$path }}${{COMP_WORDS[at]}}"
        case "$word" in
            {paths}) path=$word ;;
        esac
    done
    _kitwright_offers "$path" "${{COMP_WORDS[COMP_CWORD - 1]}}"
    COMPREPLY=($(compgen -W "$offers" -- "${{COMP_WORDS[COMP_CWORD]}}"))
    if [ -n "$files" ]; then
        local IFS=$'\\n'
        COMPREPLY+=($(compgen -f -- "${{COMP_WORDS[COMP_CWORD]}}"))
        compopt -o filenames 2>/dev/null
    fi
}}
complete -F _kitwright kitwright
"""


def zsh() -> str:
    """For zsh, which reads bash's way once it was told to."""
    return f"autoload -Uz compinit bashcompinit && compinit -u && bashcompinit\n{bash()}"


def fish() -> str:
    """For fish, with each word's help: `kitwright completion fish | source`."""
    known = list(places())
    paths = " ".join(f"'{one.path}'" for one in known if one.path)
    lines = [
        "# What kitwright understands, for fish: kitwright completion fish | source",
        "function __kitwright_at",
        f"    set -l known {paths}",
        "    set -l path ''",
        "    for word in (commandline -opc)[2..]",
        '        set -l longer (string trim -- "$path $word")',
        "        contains -- $longer $known; and set path $longer",
        "    end",
        '    test "$path" = "$argv"',
        "end",
        "complete -c kitwright -f",
    ]
    for place in known:
        at = (
            f"complete -c kitwright -n \"__kitwright_at '{place.path}'\""
            if place.path
            else ("complete -c kitwright -n \"__kitwright_at ''\"")
        )
        for word, told in place.offers.items():
            name = f"-l {word[2:]}" if word.startswith("--") else f"-a '{word}'"
            few = place.choices.get(word)
            takes = f" -x -a '{' '.join(few)}'" if few else " -r -F" if word in place.files else ""
            lines.append(f"{at} {name}{takes} -d '{_one_line(told)}'")
        if few := place.choices.get(""):
            lines.append(f"{at} -a '{' '.join(few)}'")
        if "" in place.files:
            lines.append(f"{at} -F")
    return "\n".join(lines) + "\n"


SHELLS: Mapping[str, Callable[[], str]] = {"bash": bash, "zsh": zsh, "fish": fish}
"""The shells that a script can be made for."""
