"""What only the Buy area shows."""
