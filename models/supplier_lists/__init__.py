"""Suppliers' lists: read a file, propose its columns, show what would change, take it over whole or not at all."""
