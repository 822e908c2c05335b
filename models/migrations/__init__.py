"""The schema's history, one step a file, shipped with the program."""
