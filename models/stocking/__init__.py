"""What to keep on the shelf, and when to order more: frozen records in, frozen records out."""
