"""`python -m framekit`: the command line."""

from framekit.cli.main import run

if __name__ == "__main__":
    run()
