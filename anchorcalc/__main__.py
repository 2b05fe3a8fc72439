"""Run the command line as ``python -m anchorcalc``."""

from anchorcalc.cli import main

if __name__ == "__main__":
    main()
