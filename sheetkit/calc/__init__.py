"""Pure functions, numbers in and numbers out: no spreadsheet, no file, no clock."""
