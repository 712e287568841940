"""`python -m bedcli`: the same as the command `bedwright`."""

from bedcli.main import main

if __name__ == "__main__":
    main()
