"""What Kitwright knows: published tables and pure functions over them."""
