"""The command line as ``python -m sheetkit``, where the command itself is not on the path."""

from sheetkit.terminal.cli import main

if __name__ == "__main__":
    main(prog_name="sheetkit")
