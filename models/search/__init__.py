"""Search as you type over the shop's items and the suppliers' lists: the same answer from either database.

`searching.search` is the way in. This package imports nothing itself: the tables' own start needs `index` alone.
"""
