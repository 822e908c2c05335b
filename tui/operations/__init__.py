"""Operations: each thing that a person can do or ask, declared once.

An area's file declares its operations; `operation.py` says what one is. From the declaration come the subcommand with
its options, help and JSON (`command.py`), the key, the palette's entry, the form and the message on the screen
(`tui/screens/operating.py`). Nothing here imports `models` before an operation is done.
"""
