"""What Kitwright shows: the app, the command line and the printed sheets."""
