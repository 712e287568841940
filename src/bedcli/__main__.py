"""`python -m bedcli` is `bedwright`."""

from bedcli.main import main

if __name__ == "__main__":
    main(prog_name="bedwright")
