"""All that speaks to a person at a terminal: the commands, their words, tables and progress."""
