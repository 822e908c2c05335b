"""O-rings: standard sizes, matching, glands, rubber, ports."""
