"""The demo workshop: an invented orchard co-op."""
