"""Search as you type over the shop's items and the suppliers' lists: the same answer from either database."""
