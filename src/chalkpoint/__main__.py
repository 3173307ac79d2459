"""`python -m chalkpoint` is the command `chalkpoint`."""

from chalkpoint.cli import main

if __name__ == "__main__":
    main()
