"""Putting names right: rename, retire and merge items, bins, machines and suppliers. Undo takes each of them back."""
