"""`python -m framekit`: the command line."""

from framekit.cli.main import main

if __name__ == "__main__":
    raise SystemExit(main())
