"""What a shell offers while a command is typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui import commands
from tui.answers.completion import CompletionScript
from tui.fields.plain import Choice
from tui.operations.operation import Operation

if TYPE_CHECKING:
    from tui.operations.operation import Bench, Values

HELP = "a script for your shell: Tab offers commands and options"
DESCRIPTION = """\
Print a script that your shell reads when it starts, so that the Tab key offers commands,
options and the words they take. Add the first example's line to ~/.bashrc, the second's
to ~/.zshrc, or the third's to ~/.config/fish/config.fish:

  source <(kitwright completion bash)
  source <(kitwright completion zsh)
  kitwright completion fish | source

examples:
  kitwright completion bash
  kitwright completion fish
"""
EPILOG = "exit codes: 0 printed, 2 no such shell.\n"


def _script(values: Values, _: Bench) -> CompletionScript:
    shell = values["shell"]
    return CompletionScript(shell, commands.completion.SHELLS[shell]())


COMPLETION = Operation(
    area="completion",
    name="completion",
    label="Completion",
    help=HELP,
    fields=(Choice("shell", "Shell", "bash, zsh or fish", choices=("bash", "zsh", "fish"), placed=True),),
    answers=_script,
    lengths_only=True,
    examples=("completion bash", "completion fish"),
)

OPERATIONS = (COMPLETION,)
