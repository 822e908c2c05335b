"""The commands, one file each. A command imports what costs time inside `run`, so that `--help` stays cheap."""
