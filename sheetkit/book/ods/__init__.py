"""OpenDocument spreadsheets: read, rendered whole, and grafted into."""

from sheetkit.book.ods.decorated import decorated
from sheetkit.book.ods.graft import graft, grafted
from sheetkit.book.ods.read import read
from sheetkit.book.ods.render import render
from sheetkit.book.ods.results import with_results

__all__ = ["decorated", "graft", "grafted", "read", "render", "with_results"]
