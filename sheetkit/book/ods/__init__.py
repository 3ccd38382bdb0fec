"""OpenDocument spreadsheets: read, rendered whole, and grafted into."""

from sheetkit.book.ods.graft import graft, grafted
from sheetkit.book.ods.laid import laid_over
from sheetkit.book.ods.read import read
from sheetkit.book.ods.render import render
from sheetkit.book.ods.results import with_results

__all__ = ["graft", "grafted", "laid_over", "read", "render", "with_results"]
