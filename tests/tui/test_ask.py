"""The one modal that asks: every part, every way to answer, and what is said where an answer is missing."""

from __future__ import annotations

from pathlib import Path

from textual.widgets import Input, Static

from tests.tui.counter import keys, make_app, settle, shown, write
from tui.screens.ask import Ask, Choices, Entry, Given, Key, Words, gives
from tui.screens.asking import Line, choose, one_text, to_read, yes_or_no
from tui.widgets.rows import Column, Row

FRUIT = ("apple", "pear", "plum")


def everything(picked: set[int]) -> Ask[tuple[str, int] | None]:
    """A field that says what it understood, rows whose marks change, keys that answer, refuse and stay."""

    def taken(ask: Ask[tuple[str, int] | None]) -> Given[tuple[str, int] | None] | str:
        return Given((ask.typed("count"), ask.at())) if ask.typed("count").isdecimal() else "Type a number, as 3."

    def mark(ask: Ask[tuple[str, int] | None]) -> str:
        picked.symmetric_difference_update({ask.at()})
        return ""

    return Ask(
        "How many of which?",
        Words("Nothing is booked."),
        Entry("count", understood=lambda text: f"{text} of them" if text.isdecimal() else "! no number"),
        Choices(
            [Column("", 1), Column("Fruit", 10, grow=True)],
            len(FRUIT),
            lambda at: Row(("✓" if at in picked else " ", FRUIT[at])),
            words=lambda at: [f"A {FRUIT[at]} [/b] it is."],
        ),
        keys=(
            Key("take", "Take", "Take it", taken),
            Key("clear", "Mark", "Mark the row", mark),
            Key("leave", "Cancel", "Change nothing", gives(None)),
        ),
        line=lambda: f"{len(picked)} marked",
        name="everything",
    )


async def test_a_question_with_a_field_and_a_list_says_what_is_missing_and_hands_back_both(tmp_path: Path) -> None:
    app, answers, picked = make_app(tmp_path), list[tuple[str, int] | None](), set[int]()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await app.push_screen(everything(picked), answers.append)
        await settle(pilot)
        page = app.screen
        says = page.query_one("#count-says", Static)
        await write(pilot, "3")
        assert str(says.content) == "3 of them"
        assert not says.has_class("error")
        await write(pilot, "x")
        assert says.has_class("error")
        await keys(pilot, "enter")
        assert str(says.content) == "! Type a number, as 3."
        assert app.screen is page
        await keys(pilot, "tab", "down", "f8")
        assert picked == {1}
        text = shown(pilot)
        assert "A pear [/b] it is." in text
        assert "✓ pear" in text
        assert "1 marked" in text
        page.query_one("#count", Input).value = "12"
        await keys(pilot, "enter")
        assert answers == [("12", 1)]
        await app.push_screen(everything(picked), answers.append)
        await keys(pilot, "escape")
        assert answers[1:] == [None]


async def test_the_common_questions_answer_by_their_keys(tmp_path: Path) -> None:
    app, answers = make_app(tmp_path), list[object]()
    lines = [Line(Row((one,)), (f"A {one}.",), one if one != "pear" else None) for one in FRUIT]
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        for key, answer in (("enter", True), ("escape", False)):
            await app.push_screen(yes_or_no("Do it?", "All of it."), answers.append)
            await keys(pilot, key)
            assert answers.pop() is answer
        await app.push_screen(one_text("Which?", "A name."), answers.append)
        await keys(pilot, "enter")
        assert "! Nothing is typed." in shown(pilot)
        await write(pilot, " hill ")
        await keys(pilot, "enter")
        assert answers.pop() == "hill"
        for key in ("escape", "enter", "question_mark", "w"):
            await app.push_screen(to_read("Why", "One\nTwo", name="why"), answers.append)
            await keys(pilot, key)
            assert answers.pop() is None

        def fruit(what: list[Line[str]]) -> Ask[str | None]:
            return choose(
                "Which?",
                [Column("Fruit", 10, grow=True)],
                what,
                empty="No fruit.",
                line="Enter takes it",
                name="fruit",
                enter=("Take", "Take it"),
            )

        await app.push_screen(fruit(lines), answers.append)
        await keys(pilot, "down", "enter")
        assert answers == []  # this row has nothing to hand back
        assert "A pear." in shown(pilot)
        await keys(pilot, "down", "enter")
        assert answers.pop() == "plum"
        await app.push_screen(fruit([]), answers.append)
        await keys(pilot, "enter")
        assert answers == []
        assert "No fruit." in shown(pilot)
        await keys(pilot, "escape")
        assert answers == [None]


async def test_the_palette_offers_the_keys_of_a_question(tmp_path: Path) -> None:
    app, picked = make_app(tmp_path), set[int]()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await app.push_screen(everything(picked))
        await settle(pilot)
        await keys(pilot, "ctrl+p")
        await write(pilot, "mark")
        await settle(pilot)
        await keys(pilot, "enter")
        await settle(pilot)
        assert picked == {0}
