"""Answers as plain data, for JSON and data frames."""
