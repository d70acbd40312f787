"""`python -m flatstock` is the `flatstock` command."""

from flatstock.cli import main

if __name__ == "__main__":
    raise SystemExit(main())
