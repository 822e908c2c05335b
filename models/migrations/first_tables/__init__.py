"""The tables as they are at the first release, a module a room of `models.tables`. The first step makes them.

They stay as they are: `models.tables`, `models.storage.append_only` and `models.search.index` move on by later steps.
"""
