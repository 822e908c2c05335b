"""A script for a shell, as an answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from tui.answers.answer import Answer


@dataclass(frozen=True)
class CompletionScript(Answer):
    """What a shell reads, so that it offers what may follow while a command is typed."""

    SCHEMA: ClassVar[str] = "kitwright.completion/2"

    shell: Literal["bash", "zsh", "fish"]
    script: str

    def words(self) -> list[str]:
        """The script itself, to be read by the shell."""
        return self.script.splitlines()
