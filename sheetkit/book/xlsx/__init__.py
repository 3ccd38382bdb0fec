"""The .xlsx side: reading, new workbooks, grafting, and what the maker has laid over our tabs."""

from sheetkit.book.xlsx.graft import graft, grafted
from sheetkit.book.xlsx.laid import laid_over
from sheetkit.book.xlsx.read import read
from sheetkit.book.xlsx.render import render
from sheetkit.book.xlsx.results import with_results

__all__ = ["graft", "grafted", "laid_over", "read", "render", "with_results"]
