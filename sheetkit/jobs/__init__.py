"""One module a command: the whole flow of it on one screen."""
