"""What to buy, in which packs, from whom: frozen records in, frozen records out. No tables, no screens, no clock."""
