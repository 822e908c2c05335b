"""The `kitwright` command."""

import sys


def main() -> None:
    """Run the command line."""
    sys.exit(0)


if __name__ == "__main__":
    main()
