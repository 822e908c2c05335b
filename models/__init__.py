"""What Kitwright remembers: the workshop's tables and the rules that keep them true."""
